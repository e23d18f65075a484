"""Sales seen, landed cost, shares, margin scheme, consignment. Pure functions over plain documents.

Nothing is imported here, so that the bench starts without what only a page or an export works out.
"""
