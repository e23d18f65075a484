"""Widgets that no library has, a file each; each draws what it is shown and knows no desk."""
