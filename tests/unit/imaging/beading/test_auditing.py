"""Beads of known width and with known gaps, drawn and seen through a known map.

Truth is what was painted; nothing of the painting is known to the audit but the map and the path.
"""

from functools import cache

import numpy as np
import pytest

from leaktrack.imaging.beading.auditing import audited
from leaktrack.imaging.beading.faulting import Limits
from leaktrack.model.bead_audit import BeadDefectKind, BeadVerdict
from tests.paint_beads import Painting, painted

GAP, THIN, THICK, OFF = (
    BeadDefectKind.GAP,
    BeadDefectKind.THIN,
    BeadDefectKind.THICK,
    BeadDefectKind.OFF_TRACK,
)
REACH = (64.0, 17.0)


def quarter(width):
    return Limits(0.75 * width, 1.25 * width, 1.5 * width)


@cache
def photo_of(what):
    return painted(what)


def audit(what, *, shift_mm=0.0, to_surface=None, expected=3.0, limits=quarter, shaky=0.0):
    seen = photo_of(what)
    is_seen = ((seen.path_px > 4) & (seen.path_px < np.array(seen.rgb.shape[1::-1]) - 5)).all(1)
    path, along = seen.path_px[is_seen][::14], seen.along_mm[is_seen][::14]
    draw = np.random.default_rng(what.seed)
    path = path + draw.normal(0, shaky * what.px_per_mm + 1e-9, path.shape)
    path = path + np.array([0.0, shift_mm * what.px_per_mm])
    if to_surface is None:
        to_surface = np.linalg.inv(seen.to_px)
    found = audited(seen.rgb, path, along, to_surface, expected, limits, lambda done, total: None)
    return found, seen


def kinds(found, kind):
    return [defect for defect in found.defects if defect.kind is kind]


def width_error(found, seen):
    read = [point for point in found.points if point.is_read and point.width > 0]
    truth = np.interp([point.along for point in read], seen.along_mm, seen.width_mm)
    off = np.array([point.width for point in read]) - truth
    return float(np.median(np.abs(off[truth > 0])))


SEEN = [
    ("blue", "machined"), ("red", "cast"), ("amber", "painted"), ("grey", "machined"),
    ("black", "cast"), ("grey", "painted"), ("black", "machined"),
]  # fmt: skip


@pytest.mark.parametrize(("colour", "ground"), SEEN)
def test_width_and_gap_are_those_drawn(colour, ground):
    what = Painting(
        colour=colour, ground=ground, width=2.8, gaps=((30.0, 32.5),), reach_mm=REACH,
        px_per_mm=8.0, seed=len(colour + ground),
    )  # fmt: skip

    found, seen = audit(what, shaky=0.2)

    (gap,) = kinds(found, GAP)
    assert (gap.start + gap.end) / 2 == pytest.approx(31.25, abs=1)
    assert gap.end - gap.start == pytest.approx(2.5, abs=1)
    assert gap.score > 0.8
    assert found.verdict is BeadVerdict.DEFECTIVE
    assert width_error(found, seen) < 0.28  # a tenth


@pytest.mark.parametrize(("colour", "ground"), SEEN[2:6])
def test_a_whole_bead_is_whole(colour, ground):
    what = Painting(
        colour=colour, ground=ground, width=3.2, reach_mm=REACH, px_per_mm=7.0, noise=0.02,
        seed=3 + len(colour + ground), wander=0.05,
    )  # fmt: skip

    found, _ = audit(what, shaky=0.2)

    assert found.defects == ()
    assert found.verdict is BeadVerdict.CONTINUOUS


def test_a_neck_is_thin_but_no_gap():
    found, _ = audit(Painting(necks=((40.0, 8.0, 0.4),), reach_mm=REACH, wander=0.03))

    (neck,) = found.defects
    assert neck.kind is THIN
    assert neck.start == pytest.approx(36, abs=2)
    assert neck.end == pytest.approx(44, abs=2)
    assert neck.least_width == pytest.approx(1.2, abs=0.5)


def test_a_blob_is_thick():
    found, _ = audit(Painting(necks=((40.0, 8.0, 1.7),), reach_mm=REACH, wander=0.03))

    (blob,) = found.defects
    assert blob.kind is THICK
    assert blob.least_width == pytest.approx(5.1, abs=0.5)


def test_a_bead_beside_its_line_is_told_with_how_far():
    found, _ = audit(
        Painting(reach_mm=REACH, tilt=(0, 0), waves=1.0),
        shift_mm=0.8,
        limits=lambda width: Limits(0.0, 9.0, 0.4),
    )

    assert {defect.kind for defect in found.defects} == {OFF}
    # The path was drawn lower in the photo, so the bead lies to its left.
    assert np.median([point.offset for point in found.points]) == pytest.approx(0.8, abs=0.15)


def test_a_bead_may_be_half_as_wide_again_as_expected():
    found, seen = audit(Painting(width=4.2, reach_mm=REACH), expected=2.8)

    assert found.width == pytest.approx(4.2, rel=0.1)
    assert width_error(found, seen) < 0.42


def test_figures_are_in_px_where_the_surface_is_the_photo():
    what = Painting(tilt=(0, 0), reach_mm=REACH, px_per_mm=9.0)

    found, _ = audit(what, to_surface=np.eye(3), expected=24.0)

    assert found.width == pytest.approx(27, rel=0.1)


@pytest.mark.parametrize(("colour", "cover"), [("black", (-10.0, 4.0)), ("blue", (5.0, 18.0))])
def test_a_hand_over_the_bead_hides_it_and_is_no_gap(colour, cover):
    found, _ = audit(Painting(colour=colour, cover=cover, reach_mm=REACH))

    assert kinds(found, GAP) == []
    (hidden,) = [stretch for stretch in found.unread if stretch.reason == "in the way"]
    assert hidden.end - hidden.start == pytest.approx(cover[1] - cover[0], abs=5)


def test_light_that_dazzles_hides_the_bead_and_is_no_gap():
    found, _ = audit(
        Painting(colour="grey", ground="cast", dazzle=(0.0, 0.0, 4.0, 3.0), reach_mm=REACH)
    )

    assert kinds(found, GAP) == []
    assert [stretch.reason for stretch in found.unread] == ["glare"]


def test_a_photo_out_of_focus_is_unreadable():
    found, _ = audit(Painting(colour="grey", blur_px=14.0, reach_mm=REACH))

    assert kinds(found, GAP) == []
    assert found.verdict is BeadVerdict.UNREADABLE


def test_what_lies_outside_of_the_photo_is_not_judged():
    seen = photo_of(Painting(reach_mm=REACH))
    found = audited(
        seen.rgb, seen.path_px[::14], seen.along_mm[::14], np.linalg.inv(seen.to_px), 3.0,
        quarter, lambda done, total: None,
    )  # fmt: skip

    assert {stretch.reason for stretch in found.unread} == {"out of frame"}
    assert kinds(found, GAP) == []


@pytest.mark.parametrize("ground", ["machined", "cast", "painted"])
def test_a_bare_flange_has_no_bead_that_could_be_judged(ground):
    bare = Painting(ground=ground, gaps=((-99.0, 199.0),), reach_mm=REACH, seed=5)

    found, _ = audit(bare)

    assert found.verdict is BeadVerdict.UNREADABLE
    assert found.defects == ()


def test_a_bead_of_a_few_px_is_not_measured():
    found, _ = audit(Painting(width=1.0, px_per_mm=4.0, reach_mm=REACH), expected=1.0)

    assert found.verdict is BeadVerdict.UNREADABLE
