"""Make a book, take in a table, compare, merge, review."""
