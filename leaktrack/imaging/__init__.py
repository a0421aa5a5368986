"""Pixels: photos and footage in, arrays, shapes and numbers out."""
