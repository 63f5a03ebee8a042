"""Files that come into a book and leave it."""
