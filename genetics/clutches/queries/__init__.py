"""What is asked of a clutch: kinds of hatchlings, how many of them, and what they fetch."""
