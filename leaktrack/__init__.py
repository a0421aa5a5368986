"""leaktrack: find where a rebuilt engine leaks, which sealing job caused it, and what to redo."""

__version__ = "0.1.0"
