"""How bad a leak is, and what it costs in oil."""
