"""Folding as the title lists have it, remembered: a table says the same few words thousands of times."""

from functools import lru_cache

from benchtui.titles.fold import fold as fold_text

fold = lru_cache(maxsize=20_000)(fold_text)
