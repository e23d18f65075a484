"""Text lines and lists of choices: opening, editing, reading what was typed."""
