"""Whether what hatched fits its parents, and which assumption it speaks against."""
