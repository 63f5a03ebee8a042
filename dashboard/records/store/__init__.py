"""Where does a book lie, and how is it opened, read and written?"""
