"""Reads and checks the TOML books, scales and faults.

``library.Library`` answers what an id means; ``scales`` and ``faults`` hold what is common to all shops;
``check.check_books`` tells every fault of the files; ``write`` and ``from_bench`` put what was just seen into
the shop's own book; ``skeleton`` begins a new one. ``prepared`` keeps large books readable title by title.
"""
