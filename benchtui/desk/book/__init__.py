"""The shop's own book, grown out of the work."""
