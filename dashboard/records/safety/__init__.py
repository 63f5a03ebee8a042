"""How is a book put aside, brought back, upgraded and moved without losing anything?"""
