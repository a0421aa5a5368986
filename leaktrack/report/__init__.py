"""Documents to hand over."""
