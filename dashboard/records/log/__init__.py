"""What was done to a book, and how is it taken back?"""
