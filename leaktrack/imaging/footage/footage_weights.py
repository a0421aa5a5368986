"""Weights learnt from known truth: from what agrees to the chance that a picture shows it.

Made by ``python -m tests.accuracy learn-footage``, from 186 frames of rendered photos.
"""

WEIGHTS = (
    0.785,  # matches that move like their neighbours, times their spread
    0.317,  # agreeing matches on the part that matters
    3.463,  # likeness of fine detail
    2.320,  # likeness of coarse detail
    3.587,  # likeness of fine detail that follows
    1.241,  # share of the matches that agree
    0.000,  # share of the part that is in sight
    0.000,  # seen when matched again, not at a glance only
)
BIAS = -2.422
