"""One record in full: its page, work on it, moving its parts, regrading."""
