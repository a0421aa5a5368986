"""A path is as long as geometry says, however askew the photo shows it."""

import numpy as np
import pytest
from skimage.transform import ProjectiveTransform

from leaktrack.imaging.beading.straightening import strip_of, track_of
from leaktrack.imaging.measuring.projecting import through
from tests.paint_beads import looking

TO_PX = looking((17.0, -12.0), 8.0, (900, 600))
TO_MM = np.linalg.inv(TO_PX)


def arc(radius, degrees, step_mm=6.0):
    """Places on a circle about (0, radius), in mm, clicked every few mm."""
    angles = np.linspace(0, np.radians(degrees), int(radius * np.radians(degrees) / step_mm) + 2)
    return np.column_stack([radius * np.sin(angles), radius - radius * np.cos(angles)])


@pytest.mark.parametrize(("radius", "degrees"), [(60, 40), (35, 80), (25, 120)])
def test_an_arc_is_as_long_as_radius_times_angle(radius, degrees):
    """Closed form: s = r * angle."""
    track = track_of(through(TO_PX, arc(radius, degrees)), None, TO_MM, 0.1, 1.0)

    assert track.along[-1] == pytest.approx(radius * np.radians(degrees), rel=0.004, abs=0.15)


def test_half_way_along_an_arc_is_half_of_its_angle():
    """Closed form. In the photo, perspective puts that place elsewhere than half way in px."""
    track = track_of(through(TO_PX, arc(45, 90)), None, TO_MM, 0.1, 1.0)

    place = track.at[np.searchsorted(track.along, 45 * np.pi / 4)]

    assert place == pytest.approx([45 * np.sin(np.pi / 4), 45 - 45 * np.cos(np.pi / 4)], abs=0.15)


def test_perspective_is_scikit_image_s():
    """Reference: skimage.transform.ProjectiveTransform, estimated from the four corners alone."""
    corners = np.array([[-40, -20], [40, -20], [40, 20], [-40, 20]], float)
    reference = ProjectiveTransform.from_estimate(corners, through(TO_PX, corners))
    line = np.column_stack([np.linspace(-38, 38, 12), np.linspace(-9, 14, 12)])

    track = track_of(reference(line), None, TO_MM, 0.2, 1.0)

    assert track.along[-1] == pytest.approx(np.hypot(76, 23), abs=0.02)
    side = track.at + 2.5 * track.left
    assert track.places_px(np.array([2.5]))[0] == pytest.approx(reference(side), abs=0.02)


def test_left_is_left_of_somebody_who_follows_the_path():
    """In a photo y points down: who goes right has the top of the photo to the left."""
    track = track_of(np.array([[10.0, 50], [90, 50]]), None, np.eye(3), 1.0, 2.0)

    assert track.left == pytest.approx(np.tile([0.0, -1.0], (len(track.left), 1)), abs=1e-6)


def test_told_places_count_instead_of_lengths():
    path = np.array([[0.0, 0], [50, 0], [100, 0]])

    track = track_of(path, np.array([200.0, 210, 220]), np.eye(3), 1.0, 1.0)

    assert (track.along[0], track.along[-1]) == pytest.approx((200, 220), abs=0.25)
    assert track.along[50] == pytest.approx(210, abs=0.05)


def test_a_strip_holds_the_photo_laid_straight():
    """Drawn: a photo whose red is x and whose green is y."""
    y, x = np.mgrid[:120, :200]
    rgb = np.stack([x, y, 0 * x], axis=2).astype(np.uint8)
    track = track_of(np.array([[30.0, 60], [170, 60]]), None, np.eye(3), 1.0, 2.0)

    strip = strip_of(rgb, track, 20)

    assert strip.rgb[:, 40, 0] == pytest.approx(70, abs=0.1)
    assert strip.rgb[:, 40, 1] == pytest.approx(60 - strip.offsets, abs=0.1)
    assert strip.is_inside.all()


def test_a_strip_says_where_the_photo_ends():
    rgb = np.zeros((100, 100, 3), np.uint8)
    track = track_of(np.array([[50.0, 50], [150, 50]]), None, np.eye(3), 1.0, 2.0)

    strip = strip_of(rgb, track, 5)

    assert strip.is_inside[:, :48].all()
    assert not strip.is_inside[:, 52:].any()


def test_a_path_wholly_outside_gives_a_strip_of_nothing():
    track = track_of(np.array([[500.0, 500], [600, 500]]), None, np.eye(3), 1.0, 2.0)

    assert not strip_of(np.zeros((100, 100, 3), np.uint8), track, 5).is_inside.any()
