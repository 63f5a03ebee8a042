"""One file a screen's question: read the book, compute, hand back one frozen result."""
