"""What leaves the shop: intake, stock book, statement, chores, descriptions."""
