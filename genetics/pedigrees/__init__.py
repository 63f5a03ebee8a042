"""What is known of every animal of a collection, and how they are related."""
