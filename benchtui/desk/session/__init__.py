"""Starting, being where one was, pages, leaving."""
