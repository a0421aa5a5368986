"""Find in hours of video the moments that show what a photo shows."""
