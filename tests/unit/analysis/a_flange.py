"""A flange before a camera, both known exactly: the truth of a station is a closed form.

The camera is a pin-hole of 2,000 px focal length that looks along z at a flange 400 mm away, which
is turned about the upright axis and then about the level one.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leaktrack.model.engine import Bolt, JointLine, LinePoint
from leaktrack.model.identity import new_id
from leaktrack.model.shapes import PointPx

Floats = NDArray[np.float64]
FOCAL_PX, MIDDLE_PX, AWAY_MM = 2000.0, np.array([1000.0, 750.0]), 400.0
JOINT = new_id()


@dataclass(frozen=True)
class Flange:
    """A joint along corners of a flat flange that leans away from the camera.

    Attributes:
        corners_mm: (N, 2) on the flange; the camera looks at its origin.
        right_deg: By how much its right side is turned away.
        top_deg: By how much its upper side is turned away.
    """

    corners_mm: Floats
    right_deg: float = 0.0
    top_deg: float = 0.0
    is_closed: bool = False

    @property
    def ring_mm(self) -> Floats:
        last = self.corners_mm[:1] if self.is_closed else self.corners_mm[:0]
        return np.concatenate([self.corners_mm, last])

    @property
    def length_mm(self) -> float:
        return float(np.linalg.norm(np.diff(self.ring_mm, axis=0), axis=1).sum())

    @property
    def to_px(self) -> Floats:
        """The (3, 3) homography from the flange in mm to the photo in px."""
        a, b = np.radians([self.right_deg, self.top_deg])
        across = np.array([np.cos(a), 0.0, np.sin(a)])
        turn = np.array([[1, 0, 0], [0, np.cos(b), np.sin(b)], [0, -np.sin(b), np.cos(b)]])
        across, down = turn @ across, turn @ np.array([0.0, 1.0, 0.0])
        camera = np.array([[FOCAL_PX, 0, MIDDLE_PX[0]], [0, FOCAL_PX, MIDDLE_PX[1]], [0, 0, 1.0]])
        return camera @ np.column_stack([across, down, [0.0, 0.0, AWAY_MM]])

    def on_flange(self, along_mm: float) -> Floats:
        """The place on the flange after some length along the joint, by straight pieces."""
        left = along_mm % self.length_mm if self.is_closed else along_mm
        for start, end in zip(self.ring_mm[:-1], self.ring_mm[1:], strict=True):
            side = float(np.linalg.norm(end - start))
            if left <= side:
                return start + left / side * (end - start)
            left -= side
        return self.ring_mm[-1]

    def seen(self, along_mm: float) -> PointPx:
        x, y, w = self.to_px @ np.append(self.on_flange(along_mm), 1.0)
        return PointPx(float(x / w), float(y / w))

    def line(self, bolts_mm: dict[int, float]) -> JointLine:
        """The line a person draws: through the corners and the bolts, from start to end."""
        sides = np.linalg.norm(np.diff(self.ring_mm, axis=0), axis=1)
        ends = np.concatenate([[0.0], np.cumsum(sides)])
        corners = ends[:-1] if self.is_closed else ends
        numbers = {place: number for number, place in bolts_mm.items()}
        along = sorted({*map(float, corners), *numbers})
        points = tuple(LinePoint(self.seen(each), numbers.get(each)) for each in along)
        return JointLine(joint_id=JOINT, photo_id=new_id(), points=points)


def bolts_at(places_mm: list[float]) -> tuple[Bolt, ...]:
    return tuple(
        Bolt(joint_id=JOINT, number=number, station_mm=place)
        for number, place in enumerate(places_mm, start=1)
    )
