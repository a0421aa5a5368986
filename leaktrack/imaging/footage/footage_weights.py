"""Weights learnt from known truth: from what agrees to the chance that a picture shows it.

Made by ``python -m tests.accuracy learn-footage``, from 104 frames of rendered photos.
"""

WEIGHTS = (
    1.071,  # agreeing matches times their spread
    0.379,  # agreeing matches on the part that matters
    2.287,  # likeness of fine detail
    0.809,  # likeness of coarse detail
    2.194,  # likeness of fine detail that follows
    1.071,  # share of the matches that agree
    0.000,  # share of the part that is in sight
)
BIAS = -0.460
