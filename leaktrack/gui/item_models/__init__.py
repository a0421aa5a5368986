"""Lists and tables for views."""
