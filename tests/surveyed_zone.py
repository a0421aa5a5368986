"""A zone seen by several cameras, with all depths known: what a survey has to find again."""

import numpy as np

from leaktrack.imaging.carrying.triangulating import Pose
from leaktrack.imaging.matching.aligning import AlignmentState, Carried
from leaktrack.imaging.surveying.tying import Ties
from leaktrack.model.place import PlaceState

SIZE = (1000, 750)
SHIFTS = {1: (-1.0, 0.05, 0.02), 2: (0.8, 0.3, -0.1), 3: (0.1, -0.9, 0.1)}
TURNS = {1: (0.02, -0.09, 0.03), 2: (-0.03, 0.08, -0.05), 3: (-0.09, 0.01, 0.1)}


def true_pose(photo):
    values = np.concatenate([np.zeros(4), TURNS[photo], SHIFTS[photo]])
    return Pose(values, SIZE, SIZE)


def places_and_nearness(count=400, seed=5):
    """Places spread over the photo, three to five shifts away."""
    rng = np.random.default_rng(seed)
    places = rng.uniform((100, 80), (900, 670), (count, 2))
    return places, 1 / rng.uniform(3, 5, count)


def true_ties(photo, places, nearness, noise_px=0.0, seed=7):
    pose = true_pose(photo)
    seen = pose.seen_there(pose.rays(places), nearness)
    seen = seen + np.random.default_rng(seed + photo).normal(0, noise_px, seen.shape)
    return Ties(photo, np.arange(len(places)), seen, is_direct=True)


class Told:
    """Places that are told one by one: by the nearest of those known."""

    def __init__(self, here, there, state=PlaceState.CARRIED):
        self._here, self._there, self._state = here, there, state
        self.state, self.size = AlignmentState.ALIGNED, SIZE

    def places(self, points):
        away = np.linalg.norm(points[:, None] - self._here[None], axis=2)
        return self._there[away.argmin(axis=1)]

    def carry(self, points):
        return Carried(self.places(points), np.full(len(points), 1.0), (self._state,) * len(points))
