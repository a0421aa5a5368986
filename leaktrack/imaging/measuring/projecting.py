"""Planes seen by a camera: where a pixel's ray meets a plane, told as a projective map."""

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.measuring.cutting import cut_of

Floats = NDArray[np.float64]

_FILM_DIAGONAL_MM = 43.27
"""Of the 36 x 24 mm film that EXIF's FocalLengthIn35mmFilm speaks of; EXIF 2.32, tag 41989."""

# Phones' main cameras have 24 to 28 mm, their second ones 50 to 75 mm, in terms of that film: a
# guess in between, which is wrong by a quarter more often than not. Own judgement.
_USUAL_FOCAL_MM = 35.0
_KNOWN_DOUBT = 0.04
_GUESSED_DOUBT = 0.3
_CUT_DOUBT = 0.15
"""Of a photo that was cut, who knows how far: the focal length is the whole's. Own judgement."""


@dataclass(frozen=True, slots=True)
class Camera:
    """A pin-hole camera that looks straight along the middle of its photo, as far as is known.

    Attributes:
        size_px: Width and height of the photo.
        focal_px: Focal length.
        focal_doubt: One standard deviation of it, as a share of it.
        is_told: Whether the photo's file told the focal length; else it is assumed.
        middle_doubt_px: One standard deviation of where it looks, across and down; 0 where the
            photo was not cut.
        off_middle_px: Where it looks, from the photo's middle.
    """

    size_px: tuple[int, int]
    focal_px: float
    focal_doubt: float
    is_told: bool
    middle_doubt_px: tuple[float, float] = (0.0, 0.0)
    off_middle_px: tuple[float, float] = (0.0, 0.0)

    @property
    def is_cut(self) -> bool:
        """Whether the photo seems to be a part of a larger one."""
        return any(self.middle_doubt_px)

    @property
    def looking_elsewhere(self) -> "tuple[Camera, ...]":
        """The cameras that look one standard deviation aside, for each way that is doubted."""
        across, down = self.middle_doubt_px
        ways = [(across, 0.0)] * bool(across) + [(0.0, down)] * bool(down)
        return tuple(replace(self, off_middle_px=way) for way in ways)

    @property
    def matrix(self) -> Floats:
        """The (3, 3) map from directions to px."""
        width, height = self.size_px
        aside_x, aside_y = self.off_middle_px
        middle_x, middle_y = (width - 1) / 2 + aside_x, (height - 1) / 2 + aside_y
        return np.array([[self.focal_px, 0, middle_x], [0, self.focal_px, middle_y], [0, 0, 1]])

    def ray(self, x: float, y: float) -> Floats:
        """Return the direction in which a pixel looks; its third component is 1."""
        middle = self.matrix[:2, 2]
        return np.array([*((np.array([x, y]) - middle) / self.focal_px), 1.0])


@dataclass(frozen=True)
class Plane:
    """A plane before a camera.

    Attributes:
        at_mm: (3,), a point of it, from the camera: right, down and ahead.
        normal: (3,), a unit vector square to it, away from the camera.
    """

    at_mm: Floats
    normal: Floats

    @property
    def tilt_deg(self) -> float:
        """Angle between looking at its point and looking straight at it."""
        share = float(self.at_mm @ self.normal) / float(np.linalg.norm(self.at_mm))
        return float(np.degrees(np.arccos(np.clip(abs(share), 0.0, 1.0))))

    def leaning(self, axis: Floats, degrees: float) -> "Plane":
        """Return this plane turned about an axis through its point."""
        turn, _ = cv2.Rodrigues(axis / np.linalg.norm(axis) * np.radians(degrees))
        return Plane(self.at_mm, np.asarray(turn @ self.normal, np.float64))

    def nearer(self, by_mm: float) -> "Plane":
        """Return this plane moved towards the camera, along the look at its point."""
        distance = float(np.linalg.norm(self.at_mm))
        return Plane(self.at_mm * (1 - by_mm / distance), self.normal)


def camera_of(
    size_px: tuple[int, int],
    focal_35mm: float | None = None,
    told_px: tuple[int, int] | None = None,
) -> Camera:
    """Return the camera of a photo.

    The focal length in terms of film speaks of the whole photo; where this is only a part of it,
    where the camera looked is doubted.

    Args:
        size_px: Width and height of the upright photo.
        focal_35mm: The EXIF value FocalLengthIn35mmFilm; None where there is none.
        told_px: Width and height as the camera wrote them into EXIF, upright; None: it did not.
    """
    cut = cut_of(size_px, told_px)
    whole_px = size_px if cut is None else cut.whole_px
    off_px = (0.0, 0.0) if cut is None else cut.off_px
    per_mm = float(np.hypot(*whole_px)) / _FILM_DIAGONAL_MM
    if focal_35mm is None:
        return Camera(size_px, _USUAL_FOCAL_MM * per_mm, _GUESSED_DOUBT, False, off_px)
    doubt = _KNOWN_DOUBT if cut is None or cut.is_told else _CUT_DOUBT
    return Camera(size_px, focal_35mm * per_mm, doubt, True, off_px)


def onto(plane: Plane, camera: Camera) -> Floats:
    """Return the (3, 3) homography from px to mm in the plane, from its point.

    Its third component is positive where the pixel looks at the plane at all.
    """
    normal = plane.normal / np.linalg.norm(plane.normal)
    away = float(plane.at_mm @ normal)
    if away < 0:
        normal, away = -normal, -away
    # Right in the plane is as far right in the photo as it can be.
    right = np.array([1.0, 0, 0]) - normal[0] * normal
    if np.linalg.norm(right) < 0.1:
        right = np.array([0, 1.0, 0]) - normal[1] * normal
    right /= np.linalg.norm(right)
    down = np.cross(normal, right)
    meet = np.stack([right, down, normal / away])
    meet[:2] -= np.outer(meet[:2] @ plane.at_mm, meet[2])
    return np.asarray(meet @ np.linalg.inv(camera.matrix), np.float64)


def through(homography: Floats, points: Floats) -> Floats:
    """Return where a (3, 3) homography takes (N, 2) points."""
    there = cv2.perspectiveTransform(points.reshape(-1, 1, 2), homography)
    return np.asarray(there, np.float64).reshape(-1, 2)
