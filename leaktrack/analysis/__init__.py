"""Reasoning: values in, values out; no pixels, files, SQL, window or clock."""
