"""Weights learnt from known truth: from what agrees to the chance that a picture shows it.

Made by ``python -m tests.accuracy learn-footage``, from 186 frames of rendered photos.
"""

WEIGHTS = (
    0.367,  # agreeing matches times their spread
    0.559,  # matches that move like their neighbours, times their spread
    0.194,  # agreeing matches on the part that matters
    2.981,  # likeness of fine detail
    2.131,  # likeness of coarse detail
    3.623,  # likeness of fine detail that follows
    1.073,  # share of the matches that agree
    0.000,  # share of the part that is in sight
    0.000,  # seen when matched again, not at a glance only
)
BIAS = -1.527
