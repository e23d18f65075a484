"""What the bench shows, as plain lines of styled pieces: without Textual, so that tests can read it."""
