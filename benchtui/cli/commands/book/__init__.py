"""Make a book of the shop's own."""
