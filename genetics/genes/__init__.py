"""What a gene is: the catalogue, an animal's genotype, and how the trade writes it."""
