"""How well places are carried between real photos that others have published with truth.

The whole way is measured, as the program goes it for two files: finding points, matching, aligning,
looking closely. Errors are told in px of a photo 1000 px wide. The bar is the best of eight simpler
ways, measured on the same photos before this program was written (share of all places within 5 px).
"""

import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.aligning import AlignmentState
from leaktrack.imaging.matching.learned_matching import LearnedMatcher
from leaktrack.model.place import PlaceState
from leaktrack.places import cache_folder, resource
from leaktrack.workflows.align_files import readable_file
from leaktrack.workflows.align_photos import placing_of
from tests.accuracy.measure_align import TOLD_AT_PX, Outcome, line
from tests.accuracy.open_pairs import NotReachable, OpenPair, open_pairs

BARS = {"motorcycle": 0.953, "cloth and leaves": 0.927, "painted wall": 1.0, "board": 0.981}
"""Own measurement: the best of eight ways to choose among candidates with local matches."""


@dataclass(frozen=True)
class Carrying:
    """What became of the places of one pair.

    Attributes:
        outcome: With what was held back.
        all_px: Error of the place given for each visible point, sure or not, at 1000 px width.
    """

    outcome: Outcome
    all_px: NDArray[np.float64]
    state: AlignmentState
    cpu_s: float

    @property
    def sure_px(self) -> NDArray[np.float64]:
        """Error of the visible places given as sure, at 1000 px width."""
        return self.outcome.error_px[self.outcome.is_carried & ~self.outcome.is_hidden]


def report() -> None:
    """Print one line for each kind of pair."""
    try:
        pairs = open_pairs(open_data_folder())
    except NotReachable as error:
        print(f"Skipped: {error}")
        return
    print(f"{'pair':18}  {'bar':>6}  {'all <5':>6}  {'median':>6}  {'p95':>5}  {_HEADINGS}  CPU s")
    matcher = LearnedMatcher(resource("models"))
    with tempfile.TemporaryDirectory() as cache:
        for name in BARS:
            alike = [pair for pair in pairs if pair.name == name]
            several = [carried_in(pair, matcher, Path(cache)) for pair in alike]
            print(f"{name:18}  {BARS[name]:6.1%}  {told(several)}", flush=True)


def open_data_folder() -> Path:
    """Return where fetched photos are kept between runs: with what can be computed again."""
    return cache_folder() / "open_data"


def carried_in(pair: OpenPair, matcher: LearnedMatcher, cache: Path) -> Carrying:
    """Carry the places of one pair the whole way, and compare with the truth."""
    began = time.process_time()
    reference, new = readable_file(pair.reference), readable_file(pair.new)
    placing = placing_of(reference, new, matcher, cache)
    carried = placing.carry(pair.here)
    cpu_s = time.process_time() - began
    to_told = TOLD_AT_PX / max(new.size)
    outcome = Outcome(
        np.linalg.norm(carried.xy - pair.there, axis=1) * to_told,
        carried.sigma_px * to_told,
        np.array([state is PlaceState.CARRIED for state in carried.states]),
        pair.is_hidden,
        np.ones(len(pair.here), bool),
    )
    if placing.state is AlignmentState.FAILED:
        all_px = np.full(int((~pair.is_hidden).sum()), np.inf)
    else:
        seen = ~pair.is_hidden
        given = placing.places(pair.here[seen])
        all_px = np.linalg.norm(given - pair.there[seen], axis=1) * to_told
    return Carrying(outcome, all_px, placing.state, cpu_s)


_HEADINGS = (
    "points  carried   <5 px  median  p95 px  >20 px  <1 sig  <2 sig  hidden held back  failed"
)


def told(several: Sequence[Carrying]) -> str:
    """Return the figures of several pairs in one line."""
    all_px = np.concatenate([one.all_px for one in several])
    failed = sum(one.state is AlignmentState.FAILED for one in several)
    return (
        f"{np.mean(all_px < 5):6.1%}  {np.median(all_px):6.2f}  {np.percentile(all_px, 95):5.1f}"
        f"  {line([one.outcome for one in several])}  {failed} of {len(several)}"
        f"  {np.mean([one.cpu_s for one in several]):.2f}"
    )
