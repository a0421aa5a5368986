"""Places are carried right between real photos with published truth.

Outside checks: the truth of each pair is that of ``open_pairs``. They are fetched only when asked
for, by setting LEAKTRACK_OPEN_DATA to a folder to keep them in; otherwise the tests are skipped.
"""

import os
from pathlib import Path

import numpy as np
import pytest

from leaktrack.imaging.matching.aligning import AlignmentState
from leaktrack.imaging.matching.learned_matching import LearnedMatcher
from leaktrack.places import resource
from tests.accuracy.measure_outside import Carrying, carried_in
from tests.accuracy.open_pairs import NotReachable, open_pairs

FOLDER = os.environ.get("LEAKTRACK_OPEN_DATA")

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not FOLDER, reason="set LEAKTRACK_OPEN_DATA to a folder for these photos"),
]


@pytest.fixture(scope="module")
def carryings(tmp_path_factory) -> dict[str, list[Carrying]]:
    """Every pair carried once, by the name of its kind."""
    try:
        pairs = open_pairs(Path(str(FOLDER)))
    except NotReachable as error:
        pytest.skip(str(error))
    matcher, cache = LearnedMatcher(resource("models")), tmp_path_factory.mktemp("cache")
    found: dict[str, list[Carrying]] = {}
    for pair in pairs:
        found.setdefault(pair.name, []).append(carried_in(pair, matcher, cache))
    return found


# Share of visible places within 5 px at 1000 px width: of all, and of those given as sure. Bounds
# lie a little under what was measured, so that they notice when it gets worse.
@pytest.mark.parametrize(
    ("name", "of_all", "of_carried"),
    [
        ("motorcycle", 0.94, 0.97),
        ("cloth and leaves", 0.92, 0.96),
        ("painted wall", 0.99, 0.99),
        ("board", 0.91, 0.92),
    ],
)
def test_places_are_carried_right(carryings, name, of_all, of_carried):
    several = carryings[name]

    off = np.concatenate([one.all_px for one in several])
    given = np.concatenate([one.sure_px for one in several])

    assert all(one.state is not AlignmentState.FAILED for one in several)
    assert np.mean(off < 5) >= of_all
    assert np.mean(given < 5) >= of_carried
    assert np.median(given) < 1


@pytest.mark.parametrize("name", ["motorcycle", "cloth and leaves", "painted wall", "board"])
def test_most_places_are_given_as_sure_and_their_doubt_holds(carryings, name):
    outcomes = [one.outcome for one in carryings[name]]
    sure = np.concatenate([one.is_carried & ~one.is_hidden for one in outcomes])
    seen = np.concatenate([~one.is_hidden for one in outcomes])
    off = np.concatenate([one.error_px for one in outcomes])[sure]
    sigma = np.concatenate([one.sigma_px for one in outcomes])[sure]

    assert sure.sum() / seen.sum() > 0.8
    assert np.mean(off < 2 * sigma) > 0.9
