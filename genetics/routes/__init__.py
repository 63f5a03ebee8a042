"""How do I get from the animals I hold to the ones I want, and how long does it take?"""
