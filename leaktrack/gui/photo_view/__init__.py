"""The photo on screen: scene, items and drawing tools."""
