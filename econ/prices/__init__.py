"""What any animal is worth at any date, from the breeder's own price observations and supply counts."""
