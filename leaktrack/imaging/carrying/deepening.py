"""Find where every place of a photo lies in another by where the cameras stood and how deep it is.

Matches and the places where patches may be give the cameras; the cameras and the pictures give
depths, coarsely; where patches are is seen better with these depths known, which makes the cameras
exact; then depths are found finely.
"""

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.flattening import Floats, Picture
from leaktrack.imaging.carrying.posing import begun, posed, reposed
from leaktrack.imaging.carrying.ranging import depths_to_try
from leaktrack.imaging.carrying.sharing import at_once, each_in_turn
from leaktrack.imaging.carrying.sighting import Look, Sightings, distinctness, sightings
from leaktrack.imaging.carrying.sweeping import Depths, at_pixels, swept
from leaktrack.imaging.carrying.triangulating import Pose, main_plane
from leaktrack.imaging.matching.moving import Points, through

_FITS_PX = 2.5  # told at 1000 px: matches that far from what the cameras allow are wrong
_LEAST_FITTING = 20
_COARSE_STEP_PX, _FINE_STEP_PX = 4.0, 2.0  # own measurement: half of these did no better
# Own measurement: both together and both photos searched in each other did best; searching the
# largest pictures took three times as long and found no more. 400 patches instead of 600 at each
# made the cameras of one zone of seven worse.
_LOOKS = (Look(11, 20, 2.5, 7), Look(15, 20, 3.0, 8))  # at halved pictures and the second largest
_NEARER = Look(15, 8, 3.0, 8)  # at halved pictures, where depths are known
_NEARER_ROUNDS = 2  # own measurement: of 100 places the first finds three more, the second one
_CALM = 3  # nodes: a depth that is alone among these is a slip

_Way = tuple[Picture, Picture, NDArray[np.float64], tuple[Picture, Picture], Look]


@dataclass(frozen=True, slots=True, eq=False)
class Deepened:
    """Where places lie in the new photo's halved picture, judged by depth.

    Attributes:
        pose: The two cameras.
        where: (rows, cols, 2) the place of every pixel of the reference photo's halved picture.
        lead: (rows, cols) how much worse any clearly other depth fits.
        cost: (rows, cols) how unlikely the depth is by itself.
    """

    pose: Pose
    where: Floats
    lead: Floats
    cost: Floats


def deepened(
    reference: tuple[Picture, ...],
    new: tuple[Picture, ...],
    halved: tuple[Picture, Picture],
    matches: tuple[Points, Points],
    plane: NDArray[np.float64],
    sizes: tuple[tuple[int, int], tuple[int, int]],
    pause: Callable[[], None],
) -> Deepened | None:
    """Return where places lie by their depth; None where the cameras cannot be told.

    Args:
        reference: The reference photo, largest picture first.
        new: The new photo.
        halved: The pictures in which places are wanted.
        matches: (N, 2) places of the full reference photo, and the same in the full new photo.
        plane: (3, 3) how the main surface lies in one halved picture and the other.
        sizes: Width and height of both full photos.
        pause: Called often; may raise to stop.
    """
    starts, seen = at_once(
        lambda: begun(*matches, *sizes),
        lambda: _seen_on_plane(reference, new, halved, plane, pause),
    )
    if not starts:
        return None
    pose = posed(starts, seen, pause)
    distinct = distinctness(halved[0].flat, _NEARER.window_px, _NEARER.moved_px)
    # Where to look nearer need not be known exactly: the smallest pictures tell.
    small, others = ((least, least.halved()) for least in (reference[-1], new[-1]))
    for _ in range(_NEARER_ROUNDS):
        coarse = _depths(pose, small, others, matches, _COARSE_STEP_PX, pause)
        if coarse is None:
            return None
        expected = placed_by_depth(pose, *coarse, *halved, small[0])
        nearer = sightings(*halved, expected, _NEARER, distinct)
        pose = reposed(pose, Sightings.together([seen, nearer]))
        pause()
    pairs = (halved[0], reference[-1]), (halved[1], new[-1])
    fine = _depths(pose, *pairs, matches, _FINE_STEP_PX, pause)
    if fine is None:
        return None
    where = placed_by_depth(pose, *fine, *halved, halved[0])
    maps = [at_pixels(each, halved[0], halved[0]) for each in (fine[1].lead, fine[1].cost)]
    return Deepened(pose, where, *maps)


def _seen_on_plane(
    reference: tuple[Picture, ...],
    new: tuple[Picture, ...],
    halved: tuple[Picture, Picture],
    plane: NDArray[np.float64],
    pause: Callable[[], None],
) -> Sightings:
    """Return where patches of either photo may be in the other, not far off the main surface."""
    back = np.asarray(np.linalg.inv(plane), np.float64)
    ways: list[_Way] = []
    both = (halved, (reference[1], new[1]))
    for (one, other), look in zip(both, _LOOKS, strict=True):
        ways += [(one, other, plane, halved, look), (other, one, back, halved[::-1], look)]

    def look_for(way: _Way) -> Sightings:
        one, other, lie, (near, far), look = way
        rows, cols = one.flat.shape
        down, across = np.mgrid[0:rows, 0:cols]
        pixels = np.stack([across.ravel(), down.ravel()], axis=1).astype(float)
        expected = through(_scaled(far, other) @ lie @ _scaled(one, near), pixels)
        expected = np.clip(expected, -1e4, 1e4)
        return sightings(one, other, expected.reshape(rows, cols, 2).astype(np.float32), look)

    found = each_in_turn(look_for, ways, pause)
    turned = [each if index % 2 == 0 else each.turned_round() for index, each in enumerate(found)]
    return Sightings.together(turned)


def _scaled(one: Picture, other: Picture) -> NDArray[np.float64]:
    """Return the homography from px of one picture to px of another of the same photo."""
    share_x, share_y = one.px / other.px
    return np.array(
        [[share_x, 0, (share_x - 1) / 2], [0, share_y, (share_y - 1) / 2], [0, 0, 1]], np.float64
    )


def _depths(
    pose: Pose,
    reference: tuple[Picture, ...],
    new: tuple[Picture, ...],
    matches: tuple[Points, Points],
    step_px: float,
    pause: Callable[[], None],
) -> tuple[NDArray[np.float64], Depths] | None:
    """Return the plane that depths are counted from, and the depths."""
    here, there = matches
    fits = np.abs(pose.off_line(here, there)) < _FITS_PX
    if fits.sum() < _LEAST_FITTING:
        return None
    plane = main_plane(pose, here[fits], there[fits])
    tries = depths_to_try(pose, plane, here[fits], there[fits], step_px)
    return plane, swept(pose, plane, reference, new, tries, pause)


def placed_by_depth(
    pose: Pose,
    plane: NDArray[np.float64],
    depths: Depths,
    reference: Picture,
    new: Picture,
    swept_in: Picture,
) -> Floats:
    """Return (rows, cols, 2): where each pixel of the reference lies in the new picture.

    Args:
        pose: The two cameras.
        plane: What the depths are counted from.
        depths: At the nodes of ``swept_in``.
        reference: The picture of the reference photo that is asked for.
        new: The picture of the new photo.
        swept_in: The picture of the reference photo that has the nodes.
    """
    rows, cols = reference.flat.shape
    calmed = np.asarray(cv2.medianBlur(depths.offset, _CALM), np.float32)
    offset = at_pixels(calmed, reference, swept_in)
    down, across = np.mgrid[0:rows, 0:cols]
    pixels = np.stack([across.ravel(), down.ravel()], axis=1).astype(float)
    rays = pose.rays(reference.to_full(pixels))
    near = (rays @ plane).astype(np.float32) + offset.ravel()
    seen = np.stack(pose.seen_ahead(pose.ahead_there(rays).astype(np.float32), near), axis=1)
    return new.to_picture(seen.astype(float)).reshape(rows, cols, 2).astype(np.float32)
