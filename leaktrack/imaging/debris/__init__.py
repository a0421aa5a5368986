"""Find and measure the particles on a drain strainer's paper or a filter."""
