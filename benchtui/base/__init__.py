"""What every room uses: errors, files that people write, long work."""
