"""Title lists and completion as you type.

``Finder`` finds; ``load_steps`` brings the shop's lists to it without a stall; ``TakeIn`` takes a new list
in.
"""
