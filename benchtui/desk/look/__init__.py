"""Looking: clues answered and jumped to, runouts, the last copy's answers, titles searched."""
