"""Counting debris on painted paper of known particles, in other lights than it was tuned to."""

from contextlib import suppress

import numpy as np
import pytest
from PIL import Image

from leaktrack.model.errors import BadInput
from leaktrack.places import demo_source
from leaktrack.workflows.count_debris import count_debris
from tests.paint_debris import PX_PER_MM, painted

LIGHTS = {
    "bluish": {"light": (0.85, 0.92, 1.0), "shade": 0.1},
    "lamp": {"light": (0.9, 0.78, 0.6), "shade": 0.3},
    "without target": {"has_target": False},
}


@pytest.fixture(
    scope="module",
    params=[
        pytest.param("bluish", marks=pytest.mark.thorough),  # the lamp's light is further off
        "lamp",
        "without target",
    ],
)
def counted(request, tmp_path_factory):
    scene = painted(100 + list(LIGHTS).index(request.param), **LIGHTS[request.param])
    path = tmp_path_factory.mktemp("paper") / "paper.png"
    Image.fromarray(scene.rgb).save(path)
    found = count_debris(path)
    return scene, found, _pairs(scene, found)


def _pairs(scene, found):
    """Each painted particle with what was found of it; None where nothing was."""
    pairs = []
    for one in scene.particles:
        near = [
            each
            for each in found.particles
            if np.hypot(each.at.x - one.at[0], each.at.y - one.at[1]) < 25
        ]
        pairs.append((one, near[0] if near else None))
    return pairs


def test_every_particle_is_found_and_nothing_else(counted):
    scene, found, pairs = counted

    assert [one.kind for one, seen in pairs if seen is None] == []
    assert len(found.particles) == len(scene.particles)


def test_sizes_are_within_a_tenth_or_a_fifth_of_a_millimetre(counted):
    """But for metal: where it mirrors white as the paper is, nobody sees where it ends."""
    _, found, pairs = counted
    mm = 1.0 if found.unit == "mm" else 1 / PX_PER_MM
    for one, seen in pairs:
        if one.kind != "metal":
            assert seen.length * mm == pytest.approx(one.length_mm, rel=0.1, abs=0.2)
            assert seen.width * mm == pytest.approx(one.width_mm, rel=0.1, abs=0.2)


def test_nine_of_ten_look_like_what_they_are(counted):
    _, _, pairs = counted

    assert np.mean([one.kind == seen.kind.value for one, seen in pairs]) >= 0.9


def test_the_scale_is_that_of_the_target(counted):
    _, found, _ = counted

    if found.unit == "mm":
        assert found.mm_per_px == pytest.approx(1 / PX_PER_MM, rel=0.01)
    else:
        assert "no printed target" in found.warnings[0]


def saved(tmp_path, rgb):
    path = tmp_path / "photo.png"
    Image.fromarray(rgb.astype(np.uint8)).save(path)
    return path


def test_clean_paper_holds_nothing(tmp_path):
    noise = np.random.default_rng(0).normal(0, 4, (600, 800, 3))

    assert count_debris(saved(tmp_path, np.clip(215 + noise, 0, 255))).particles == ()


def test_one_white_surface_holds_nothing(tmp_path):
    assert count_debris(saved(tmp_path, np.full((300, 400, 3), 255))).particles == ()


def test_a_photo_of_no_paper_is_refused(tmp_path):
    dots = np.zeros((600, 800, 3))
    dots[::40, ::40] = 255

    with pytest.raises(BadInput, match=r"No light paper is found in photo.png"):
        count_debris(saved(tmp_path, dots))


def test_paper_is_told_from_a_photo_that_is_as_uneven_as_bare_metal(counted, tmp_path):
    """Cast metal: mottled over some pixels, as bare flanges are in the demo's photos."""
    _, found, _ = counted
    rng = np.random.default_rng(3)
    coarse = np.asarray(
        Image.fromarray(rng.normal(0, 20, (150, 200)).astype(np.float32)).resize((800, 600))
    )
    metal = np.clip(150 + coarse + rng.normal(0, 3, (600, 800)), 0, 255)
    told = count_debris(saved(tmp_path, np.repeat(metal[..., None], 3, axis=2)))

    assert not found.is_paper_doubtful
    assert told.is_paper_doubtful
    assert "not like paper or cloth" in told.warnings[0]


def test_a_bare_flange_is_not_taken_for_paper():
    assert count_debris(demo_source() / "photos" / "bank2_cover_bead_b.jpg").is_paper_doubtful


@pytest.mark.parametrize("shape", [(20, 20, 3), (1, 1, 3), (8, 300, 3)])
def test_a_photo_of_a_few_pixels_breaks_nothing(tmp_path, shape):
    """Too few to be paper, or paper without anything on it."""
    path = saved(tmp_path, np.full(shape, 200))
    with suppress(BadInput):
        assert count_debris(path).particles == ()
