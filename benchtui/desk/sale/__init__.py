"""What happens to a record after the bench."""
