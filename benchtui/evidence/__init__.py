"""Runouts, spans, likely pressings, next clue, agreement, second look."""
