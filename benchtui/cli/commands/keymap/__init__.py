"""Make a keymap of the shop's own."""
