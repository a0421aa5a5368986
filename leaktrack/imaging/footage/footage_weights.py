"""Weights learnt from known truth: from what agrees to the chance that a picture shows it.

Made by ``python -m tests.accuracy learn-footage``, from 190 frames of rendered photos.
"""

WEIGHTS = (
    0.944,  # matches that move like their neighbours, times their spread
    0.340,  # agreeing matches on the part that matters
    3.933,  # likeness of fine detail
    2.422,  # likeness of coarse detail
    1.935,  # likeness of fine detail that follows
    1.321,  # share of the matches that agree
    0.000,  # share of the part that is in sight
    0.000,  # seen when matched again, not at a glance only
)
BIAS = -2.400
