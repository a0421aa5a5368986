"""Fields in which a person types, and what numbers and times look like in them."""
