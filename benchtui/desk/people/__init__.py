"""Senders: what was agreed, whose a record is, the accounts."""
