"""Reads and checks the TOML books, scales and faults."""
