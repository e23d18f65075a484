"""The shop's own book as the bench changes it, and which records that concerns."""
