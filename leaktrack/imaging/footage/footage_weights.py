"""Weights learnt from known truth: from what agrees to the chance that a picture shows it.

Made by ``python -m tests.accuracy learn-footage``, from 101 frames of rendered photos.
"""

WEIGHTS = (
    1.350,  # agreeing matches times their spread
    0.238,  # agreeing matches on the part that matters
    3.441,  # likeness of fine detail
    0.000,  # share of the matches that agree
    0.000,  # share of the part that is in sight
)
BIAS = 1.302
