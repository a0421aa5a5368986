"""Learn how likely a defect is there, and write ``leaktrack/imaging/beading/defect_weights.py``.

From painted beads of ``bead_cases``: hard ones, out of focus, noisy, dazzled or small, and faulty
ones, about as thin and thick as is allowed, with bolt holes beside them. What is told of them is
measured on others, in a table of reliability.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import chain, pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.beading import defect_weights
from leaktrack.imaging.beading.doubting import doubted
from leaktrack.imaging.beading.faulting import Fault, suspected
from leaktrack.imaging.beading.gauging import Gauged, gauged
from leaktrack.imaging.beading.grounding import ground_of
from leaktrack.imaging.measuring.projecting import camera_of
from leaktrack.model.bead_audit import BeadDefectKind
from leaktrack.workflows.audit_bead_file import Tolerance, limits_of
from tests.accuracy.bead_cases import BeadCase, drawn_faulty, drawn_hard

WEIGHTS = Path(defect_weights.__file__)
LEARNT_FROM, TRIED_ON = (21, 22), (31,)
_KINDS = (BeadDefectKind.GAP, BeadDefectKind.THIN, BeadDefectKind.THICK)
_PULL = 0.5
"""Towards the weights that stood there before: of some kinds there are few false ones."""

_ANY = np.inf
_THINNESS = ((-_ANY, 0.3, -_ANY, 0.0, -1.0, -_ANY), (_ANY, 4.0, _ANY, 2.0, 1.0, 0.0))
_ALLOWED = {
    BeadDefectKind.GAP: ((-_ANY, -4.0, 0.0, 0.0), (_ANY, -0.5, 4.0, 4.0)),
    BeadDefectKind.THIN: _THINNESS,
    BeadDefectKind.THICK: _THINNESS,
}
"""Least and greatest weights: a clue never speaks for what it is a clue against."""

_BINS = (0.0, 0.1, 0.3, 0.5, 0.7, 0.9, 0.97, 1.0001)
Sample = tuple[BeadDefectKind, tuple[float, ...], bool]


def report() -> None:
    """Learn, write the weights, and print how reliable they are on other beads."""
    learnt_from = list(_samples(LEARNT_FROM))
    weights = {kind: _fitted(kind, learnt_from) for kind in _KINDS}
    for kind, numbers in weights.items():
        _write(kind, numbers)
        told = [is_true for each, _, is_true in learnt_from if each is kind]
        print(f"{kind.value}: {sum(told)} true and {len(told) - sum(told)} false ones learnt from")
    print(f"{WEIGHTS.name} is written.")
    tell_reliability(list(_samples(TRIED_ON)), weights)


def tell_reliability(
    samples: Sequence[Sample], weights: dict[BeadDefectKind, NDArray[np.float64]]
) -> None:
    """Print how often defects are there that are told with some chance."""
    chances = np.array([_chance(weights[kind], clues) for kind, clues, _ in samples])
    truth = np.array([is_true for *_, is_true in samples], np.float64)
    print(f"\n{'chance told':>13} {'mean':>6} {'true':>6} {'of':>5}")
    error = 0.0
    for low, high in pairwise(_BINS):
        here = (chances >= low) & (chances < high)
        if here.any():
            mean, share = float(chances[here].mean()), float(truth[here].mean())
            error += abs(mean - share) * here.mean()
            print(f"{low:>6.2f} - {min(high, 1):.2f} {mean:>6.2f} {share:>6.2f} {here.sum():>5}")
    print(
        f"{len(samples)} on other beads; expected calibration error {error:.3f}, Brier score "
        f"{np.mean((chances - truth) ** 2):.3f}"
    )


def _samples(seeds: Iterable[int]) -> Iterator[Sample]:
    for seed in seeds:
        for case in chain(drawn_hard(seed), drawn_faulty(seed)):
            yield from _of_case(case.clicked(seed))


def _of_case(case: BeadCase) -> Iterator[Sample]:
    camera = camera_of((case.rgb.shape[1], case.rgb.shape[0]), None)
    ground = ground_of(case.path_px, case.path_mm, None, camera)
    found = gauged(
        case.rgb, ground.path_px, ground.along, ground.to_surface, case.nominal, lambda *_: None
    )
    if found is None or found.evidence.apart < 1:
        return
    limits = limits_of(Tolerance(nominal_mm=case.nominal), case.nominal)
    is_unread = np.any(list(doubted(found).values()), axis=0)
    for fault in suspected(found, is_unread, replace(limits, farthest=None)):
        yield fault.kind, fault.clues, _is_true(fault, found, case)


def _is_true(fault: Fault, found: Gauged, case: BeadCase) -> bool:
    along = found.strip.track.along
    places = along[fault.first : max(fault.last, fault.first + 1)]
    slack = 0.5
    near = (case.along_mm > places[0] - slack) & (case.along_mm < places[-1] + slack)
    if not near.any():
        return False
    width, nominal = case.width_mm[near], case.nominal
    if fault.kind is BeadDefectKind.GAP:
        return bool(width.min() == 0)
    if fault.kind is BeadDefectKind.THIN:
        return bool(width.min() < 0.87 * nominal)  # half of what is allowed: it is there
    return bool(width.max() > 1.13 * nominal)


def _chance(numbers: NDArray[np.float64], clues: tuple[float, ...]) -> float:
    odds = numbers[0] + numbers[1:] @ np.array(clues)
    return float(1 / (1 + np.exp(-np.clip(odds, -12, 12))))


def _fitted(kind: BeadDefectKind, samples: Sequence[Sample]) -> NDArray[np.float64]:
    """Return constant and weights, by Newton's steps from those that stood there."""
    before = np.array(defect_weights.weights_of(kind))
    rows = [(clues, is_true) for each, clues, is_true in samples if each is kind]
    if not rows:
        return before
    terms = np.array([(1.0, *clues) for clues, _ in rows])
    truth = np.array([is_true for _, is_true in rows], np.float64)
    numbers = before.copy()
    for _ in range(60):
        chance = 1 / (1 + np.exp(-np.clip(terms @ numbers, -30, 30)))
        slope = terms.T @ (truth - chance) - _PULL * (numbers - before)
        bend = (terms * (chance * (1 - chance))[:, None]).T @ terms
        step = np.linalg.solve(bend + _PULL * np.eye(len(numbers)), slope)
        numbers = np.clip(numbers + np.clip(step, -0.5, 0.5), *_ALLOWED[kind])
        if np.abs(step).max() < 1e-4:
            break
    return numbers


def _write(kind: BeadDefectKind, numbers: NDArray[np.float64]) -> None:
    text = WEIGHTS.read_text(encoding="utf-8")
    told = ", ".join(f"{number:.2f}" for number in numbers)
    line = f"BeadDefectKind.{kind.name}: ({told}),"
    text = re.sub(rf"BeadDefectKind\.{kind.name}: \(.*\),", line, text)
    WEIGHTS.write_text(text, encoding="utf-8")
