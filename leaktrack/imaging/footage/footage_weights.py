"""Weights learnt from known truth: from what agrees to the chance that a picture shows it.

Made by ``python -m tests.accuracy learn-footage``, from 193 frames of rendered photos.
"""

WEIGHTS = (
    0.925,  # agreeing matches times their spread
    0.976,  # agreeing matches on the part that matters
    1.576,  # likeness of fine detail
    1.314,  # likeness of coarse detail
    4.959,  # likeness of fine detail that follows
    1.548,  # share of the matches that agree
    0.000,  # share of the part that is in sight
    1.471,  # seen when matched again, not at a glance only
)
BIAS = -4.361
