"""From a key to a command: keymaps, what a key does, what was likely meant, the help."""
