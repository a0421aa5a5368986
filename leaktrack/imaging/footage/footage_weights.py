"""Weights learnt from known truth: from what agrees to the chance that a picture shows it.

Made by ``python -m tests.accuracy learn-footage``, from 130 frames of rendered photos.
"""

WEIGHTS = (
    0.848,  # agreeing matches times their spread
    0.500,  # agreeing matches on the part that matters
    3.731,  # likeness of fine detail
    3.095,  # likeness of coarse detail
    3.000,  # likeness of fine detail that follows
    0.000,  # share of the matches that agree
    0.000,  # share of the part that is in sight
)
BIAS = -2.174
