"""Title lists taken in: which columns, what is doubtful, what it brought."""
