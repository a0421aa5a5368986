"""Weights learnt from known truth: from what agrees to the chance that a picture shows it.

Made by ``python -m tests.accuracy learn-footage``, from 160 frames of rendered photos.
"""

WEIGHTS = (
    0.812,  # agreeing matches times their spread
    0.751,  # agreeing matches on the part that matters
    2.186,  # likeness of fine detail
    0.124,  # likeness of coarse detail
    2.318,  # likeness of fine detail that follows
    1.692,  # share of the matches that agree
    0.000,  # share of the part that is in sight
    0.918,  # seen when matched again, not at a glance only
)
BIAS = -1.839
