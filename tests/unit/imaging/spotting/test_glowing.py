import cv2
import numpy as np
import pytest

from leaktrack.imaging.spotting.glowing import glowing_regions, looks_ultraviolet
from leaktrack.model.shapes import PointPx, area_px2, contains

SIZE = (450, 600)
LAMP = (0.03, 0.008, 0.08)
DYE = (0.5, 1.0, 0.1)
PAPER = (0.5, 0.7, 1.0)
ORANGE = (1.0, 0.3, 0.05)


def a_dark_engine(*things, seed=1) -> np.ndarray:
    """Return a photo under a violet lamp: grey surfaces of several shades, and discs that shine.

    Each thing is (x, y, radius, colour in linear light, strength).
    """
    rng = np.random.default_rng(seed)
    shades = cv2.resize(
        rng.uniform(0.2, 1.0, (6, 8)).astype(np.float32),
        SIZE[::-1],
        interpolation=cv2.INTER_NEAREST,
    )
    light = shades[..., None] * np.array(LAMP, np.float32)
    for x, y, radius, colour, strength in things:
        disc = np.zeros(SIZE, np.float32)
        cv2.circle(disc, (x, y), radius, 1.0, -1)
        disc = cv2.GaussianBlur(disc, (0, 0), 1.0) + 0.03 * cv2.GaussianBlur(disc, (0, 0), 12)
        light = light + strength * disc[..., None] * np.array(colour, np.float32)
    noisy = light + rng.normal(0, 0.003, light.shape)
    return np.round(255 * np.clip(noisy, 0, 1) ** (1 / 2.2)).astype(np.uint8)


def likely(rgb: np.ndarray) -> list:
    return [region for region in glowing_regions(rgb) if region.score >= 0.5]


@pytest.mark.parametrize("strength", [0.15, 0.5, 1.0, 4.0])
def test_dye_is_found_from_faint_to_burnt_out(strength):
    (region,) = likely(a_dark_engine((300, 200, 20, DYE, strength)))

    assert contains(region.outline, PointPx(300, 200))
    assert region.area_px == pytest.approx(np.pi * 20**2, rel=0.25)
    assert area_px2(region.outline) == pytest.approx(region.area_px, rel=0.15)


@pytest.mark.parametrize("colour", [LAMP, (0.4, 0.45, 1.0), PAPER, ORANGE, (0.4, 0.45, 0.8)])
@pytest.mark.parametrize("strength", [0.2, 1.0])
def test_what_shines_otherwise_is_no_dye(colour, strength):
    assert likely(a_dark_engine((300, 200, 20, colour, strength))) == []


def test_dye_beside_paper_is_found_alone():
    rgb = a_dark_engine((200, 200, 18, DYE, 0.6), (400, 200, 30, PAPER, 0.8))

    (region,) = likely(rgb)

    assert contains(region.outline, PointPx(200, 200))


def test_the_stronger_glow_comes_first():
    rgb = a_dark_engine((150, 150, 20, DYE, 0.05), (450, 300, 20, DYE, 1.0))

    regions = glowing_regions(rgb)

    assert contains(regions[0].outline, PointPx(450, 300))
    assert list(regions) == sorted(regions, key=lambda one: -one.score)


def test_nothing_glows_in_a_dark_photo_without_dye():
    assert likely(a_dark_engine()) == []


def test_places_are_those_of_a_large_photo():
    small = a_dark_engine((300, 200, 20, DYE, 0.6))
    large = cv2.resize(small, None, fx=5, fy=5, interpolation=cv2.INTER_LINEAR)

    (region,) = likely(large)

    assert contains(region.outline, PointPx(1502, 1002))
    assert region.area_px == pytest.approx(25 * np.pi * 20**2, rel=0.25)


def test_a_photo_under_the_lamp_is_recognised():
    assert looks_ultraviolet(a_dark_engine())
    assert looks_ultraviolet(a_dark_engine((300, 200, 20, DYE, 1.0)))


def test_a_photo_balanced_to_grey_is_recognised_by_its_glow():
    balanced = a_dark_engine((300, 200, 25, DYE, 1.0)).astype(np.float32)
    balanced *= np.array([1.0, 1.6, 0.5])

    assert looks_ultraviolet(np.clip(balanced, 0, 255).astype(np.uint8))


@pytest.mark.parametrize("brightness", [0.06, 0.1, 0.6])
@pytest.mark.parametrize("tint", [(1, 1, 1), (1, 0.8, 0.5), (0.8, 1, 1.3), (0.35, 0.5, 0.9)])
def test_photos_in_white_light_are_not(brightness, tint):
    # Grey, yellow lamp light, shade under a blue sky, a blue engine.
    rng = np.random.default_rng(2)
    light = rng.uniform(0.2, 1.2, (*SIZE, 1)) * brightness * np.array(tint)

    assert not looks_ultraviolet(np.round(255 * np.clip(light, 0, 1) ** (1 / 2.2)).astype(np.uint8))


def test_a_black_photo_is_not():
    assert not looks_ultraviolet(np.zeros((*SIZE, 3), np.uint8))
    assert glowing_regions(np.zeros((*SIZE, 3), np.uint8)) == ()


def test_a_white_photo_is_not():
    assert not looks_ultraviolet(np.full((*SIZE, 3), 255, np.uint8))
    assert glowing_regions(np.full((*SIZE, 3), 255, np.uint8)) == ()
