"""The queue: recognising a title, taking a record in, going back."""
