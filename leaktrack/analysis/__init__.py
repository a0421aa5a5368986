"""Reasoning: values in, values out; no pixels, files, SQL, Qt or clock."""
