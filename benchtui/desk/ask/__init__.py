"""Which question comes next, and the forms a clue may have."""
