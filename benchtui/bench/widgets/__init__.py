"""What no library has, a widget a file; each draws what it is shown and knows no desk."""
