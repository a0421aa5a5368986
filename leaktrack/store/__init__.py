"""Records and photo files on disk."""
