"""How a field gets into the books, and what they lack: tables in and out, other dealers' books, the coach.

``take`` reads a table of pressings and says what it would change, ``put`` writes that and takes it out again,
``table`` writes a book as the same table; ``other`` compares and merges two books; ``coach`` says what to do
next about a book.
"""
