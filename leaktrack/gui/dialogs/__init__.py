"""Short questions."""
