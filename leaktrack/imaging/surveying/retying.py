"""Tie points found anew with depths known: the picture followed from where all photos have it.

The first ties come from pairs of photos. Where all photos together have told cameras and depths,
each photo is looked at once more, near where it should show a place: what is found is exact, and
found for places that no pair was sure of.
"""

from collections.abc import Mapping

import numpy as np

from leaktrack.imaging.carrying.flattening import STEP_PX, Picture
from leaktrack.imaging.carrying.following import flown
from leaktrack.imaging.carrying.weighing import Likenesses
from leaktrack.imaging.matching.moving import lengths
from leaktrack.imaging.surveying.filling import Filled
from leaktrack.imaging.surveying.surveying import Survey
from leaktrack.imaging.surveying.tying import Ties

# Distances in px of pictures 720 px long; all own judgement, and not critical: what is wrong among
# these counts little where cameras are adjusted.
_COMES_BACK_PX = 1.0
_MOST_MOVED_PX = 10.0
_LEAST_LIKENESS = 0.5


def tied_anew(
    survey: Survey, filled: Filled, reference: Picture, others: Mapping[int, Picture]
) -> list[Ties]:
    """Return where the photos of a survey show the nodes of the reference photo.

    Args:
        survey: Tells the cameras.
        filled: Tells the depths.
        reference: The picture that has the nodes.
        others: A picture of each photo by number.
    """
    nodes = np.s_[::STEP_PX, ::STEP_PX]
    likenesses = Likenesses(reference)
    found = []
    for photo, pose in survey.poses.items():
        other = others[photo]
        expected = filled.where(pose, reference, other)
        followed, disagreement = flown(reference, other, expected)
        fine, middling, _ = likenesses.of(other, followed)
        there, last = followed[nodes], np.array(other.flat.shape[::-1]) - 1
        is_sure = np.all((there > 0) & (there < last), axis=2)
        is_sure &= disagreement[nodes] < _COMES_BACK_PX
        is_sure &= lengths(there - expected[nodes]) < _MOST_MOVED_PX
        is_sure &= np.minimum(fine, middling) > _LEAST_LIKENESS
        xy = other.to_full(there[is_sure].astype(float))
        found.append(Ties(photo, np.flatnonzero(is_sure), xy, is_direct=True))
    return found
