"""The books on their pages: titles, pressings, ladders, tables and other dealers' books."""
