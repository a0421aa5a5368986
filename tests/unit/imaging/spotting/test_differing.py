import numpy as np

from leaktrack.imaging.spotting.differing import darkening
from tests.pictures import Stain, casting, relit, stained

STAIN = Stain(400, 300)
EVERYWHERE = np.ones((750, 1000), bool)


def test_other_light_alone_is_hardly_a_change():
    before = casting()

    change, can_tell = darkening(before, relit(before, gain=0.7), EVERYWHERE)

    assert can_tell.mean() > 0.99
    assert np.mean(np.abs(change) > 0.25) < 0.02


def test_a_wet_area_is_darker_by_no_more_than_it_was_painted_in_other_light_too():
    before = casting()
    after, wet = stained(before, STAIN)

    change, _ = darkening(before, relit(after, gain=0.8), EVERYWHERE)

    inner = np.hypot(*(np.indices(wet.shape) - np.array([300, 400])[:, None, None])) < 15
    # The stain takes 45 % of the values; light goes with their power 2.4 (IEC 61966-2-1).
    assert 0.5 < np.median(change[inner]) < -2.4 * np.log(0.55)
    assert np.mean(change[wet] > 0.25) > 0.9
    assert np.mean(change[~wet] > 0.25) < 0.03


def test_what_dried_is_lighter():
    before, wet = stained(casting(), STAIN)

    change, _ = darkening(before, casting(), EVERYWHERE)

    assert np.mean(change[wet] < -0.25) > 0.9


def test_what_a_small_shift_explains_is_no_change():
    photo = casting()

    change, _ = darkening(photo, np.roll(photo, 2, axis=1), EVERYWHERE)

    assert np.mean(np.abs(change) > 0.25) < 0.005


def test_nothing_is_told_where_the_earlier_photo_shows_nothing_or_is_burnt_out():
    before = casting()
    before[:50, :50] = 255
    is_valid = EVERYWHERE.copy()
    is_valid[:, 900:] = False

    change, can_tell = darkening(before, casting(), is_valid)

    assert not can_tell[:, 900:].any()
    assert not can_tell[:50, :50].any()
    assert not change[~can_tell].any()


def test_photos_that_show_nothing_of_the_same_have_no_change():
    photo = casting()

    change, can_tell = darkening(photo, photo, ~EVERYWHERE)

    assert not can_tell.any()
    assert not change.any()
