"""Pages of the work area."""
