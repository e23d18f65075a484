"""Durable storage: the shop, its parcels, history and locks."""
