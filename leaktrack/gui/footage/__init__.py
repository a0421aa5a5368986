"""The player that steps through a clip."""
