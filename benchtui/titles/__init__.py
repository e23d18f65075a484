"""Title lists and completion as you type."""
