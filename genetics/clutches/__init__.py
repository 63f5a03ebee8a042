"""What a pairing hatches: gametes, looks, lost eggs, clutch sizes and odds."""
