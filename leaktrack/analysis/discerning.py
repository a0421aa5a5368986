"""What would tell the two likeliest origins of a leak apart?"""

from collections.abc import Sequence

from leaktrack.analysis.suspecting import Scene
from leaktrack.model.caution import Caution
from leaktrack.model.clue_words import origin_words
from leaktrack.model.engine import SealKind
from leaktrack.model.trace import (
    Candidate,
    CheckNext,
    ClueKind,
    NextCheck,
    Origin,
    OtherOrigin,
)

_HOT = (Caution.HOT_OIL,)
_CAUTIONS: dict[CheckNext, tuple[Caution, ...]] = {
    CheckNext.DYE: (Caution.HOT_OIL, Caution.UV_LAMP, Caution.SOLVENT),
    CheckNext.POWDER: (Caution.HOT_OIL, Caution.SOLVENT),
    CheckNext.WIPE_AND_RECHECK: (Caution.HOT_OIL, Caution.USED_OIL),
    CheckNext.TORQUE_CHECK: _HOT,
    CheckNext.LOOK_ABOVE: _HOT,
    CheckNext.MEASURE_PRESSURE: _HOT,
    CheckNext.DRAW_LINES: (),
    CheckNext.MARK_SOURCE: (),
}

# Pressure fits wherever a joint fits, and so comes second behind any clear cause. Below this chance
# a check that tells two places apart comes before measuring it. Own judgement.
LIKELY_PRESSURE = 0.1


def next_check(ranked: Sequence[Candidate | OtherOrigin], scene: Scene) -> NextCheck | None:
    """Return what to do next, and which two origins it tells apart.

    What makes distances count comes first, as it costs nothing; then what the likeliest two differ
    in. Once a person has confirmed a cause, nothing is left to tell.

    Args:
        ranked: All origins, most likely first.
        scene: What is known around the leak.

    Source:
        Which check is for what: makers' texts on looking for oil leaks, as a car maker's dye and
        powder procedures have it; which pair asks for which is own judgement.
    """
    if scene.is_settled or len(ranked) < 2:
        return None
    one = ranked[0]
    other = next((each for each in ranked[1:] if _is_worth_telling(each, one)), ranked[1])
    check = _check(one, other, ranked, scene)
    return NextCheck(check, (origin_words(one), origin_words(other)), _CAUTIONS[check])


def _check(
    one: Candidate | OtherOrigin,
    other: Candidate | OtherOrigin,
    ranked: Sequence[Candidate | OtherOrigin],
    scene: Scene,
) -> CheckNext:
    if scene.source is None:
        return CheckNext.MARK_SOURCE
    jobs = [each for each in ranked if isinstance(each, Candidate)]
    if jobs and all(each.distance_px is None for each in jobs):
        return CheckNext.DRAW_LINES
    origins = {one.origin, other.origin}
    is_pressure_open = scene.are_several_wet and scene.is_pressure_high is None
    if Origin.CRANKCASE_PRESSURE in origins or is_pressure_open:
        return CheckNext.MEASURE_PRESSURE
    if Origin.RESIDUE in origins:
        return CheckNext.WIPE_AND_RECHECK
    if Origin.FROM_ABOVE in origins:
        return CheckNext.LOOK_ABOVE
    if origins & {Origin.UNKNOWN, Origin.PART_BODY}:
        return CheckNext.POWDER
    if origins == {Origin.SEAL, Origin.BOLT} and _can_be_checked_by_torque(one, other):
        return CheckNext.TORQUE_CHECK
    return CheckNext.DYE


def _is_worth_telling(each: Candidate | OtherOrigin, first: Candidate | OtherOrigin) -> bool:
    """Return whether it is another place; pressure, which is none, only where it is likely."""
    if each.origin is Origin.CRANKCASE_PRESSURE and each.chance < LIKELY_PRESSURE:
        return False
    return _place(each) != _place(first)


def _place(one: Candidate | OtherOrigin) -> object:
    """Return what tells places apart: two jobs at one bolt look the same from outside."""
    if isinstance(one, Candidate):
        return one.joint.id, one.bolt.id if one.bolt else None
    return one.origin, one.joint.id if one.joint else None


def _can_be_checked_by_torque(one: Candidate | OtherOrigin, other: Candidate | OtherOrigin) -> bool:
    """Return whether tightening tells a bolt from its seam: not with cured liquid gasket."""
    if not isinstance(one, Candidate) or not isinstance(other, Candidate):
        return False
    bolt = one if one.origin is Origin.BOLT else other
    is_open = any(clue.kind is ClueKind.BOLT_NOT_TIGHTENED for clue in bolt.clues)
    return one.joint == other.joint and (
        is_open or bolt.joint.seal_kind is not SealKind.LIQUID_GASKET
    )
