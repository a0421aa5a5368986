"""Several photos of one zone at once: where their cameras stood, and how deep its places lie."""
