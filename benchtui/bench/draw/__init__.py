"""What the bench shows, as plain lines of styled pieces: no Textual here, so every screen can be read in a test."""
