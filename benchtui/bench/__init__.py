"""The bench itself: the Textual app, its screens, widgets, keys and key replay."""
