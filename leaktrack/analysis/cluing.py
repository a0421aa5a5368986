"""What speaks for and against each origin of a leak, beside the place where it starts?"""

from collections.abc import Iterator
from dataclasses import replace
from math import log

from leaktrack.analysis.deviating import checkable, departures
from leaktrack.analysis.suspecting import Scene, Suspect, loose_bolts, verdict_on
from leaktrack.analysis.weighing import Weights
from leaktrack.model.engine import Bolt
from leaktrack.model.sealing_job import Deviation, DeviationKind, PartCondition
from leaktrack.model.trace import CauseState, Clue, ClueKind
from leaktrack.model.verification import Outcome

# What a part is called that belongs to a bolt rather than to the seal; names are free. Own
# judgement.
_BOLT_WORDS = ("bolt", "screw", "stud")

# Above this the crankcase pressure of a used engine is too high, hot, at 4000 rpm. Car maker M.
HIGH_MMH2O = 255.0


def is_high(pressure_mmh2o: float | None) -> bool | None:
    """Return whether a crankcase pressure is too high; None where nobody measured it."""
    return None if pressure_mmh2o is None else pressure_mmh2o > HIGH_MMH2O


def seal_clues(suspect: Suspect, weights: Weights) -> Iterator[Clue]:
    """Return what speaks for and against the seal of a joint."""
    yield from _rule_clues(suspect, weights)
    yield from _part_clues(suspect, weights)
    yield from _past_clues(suspect, weights)
    yield from _shared_clues(suspect, weights)
    if suspect.redo is Outcome.STILL_THERE:
        yield _redo(suspect, ClueKind.STILL_WET_AFTER_REDO, weights, "still_wet_after_redo")
    elif suspect.redo in (Outcome.CURED, Outcome.MOVED):
        yield _redo(suspect, ClueKind.CURED_BY_REDO, weights, "cured_by_redo")


def bolt_clues(suspect: Suspect, bolt: Bolt, weights: Weights) -> Iterator[Clue]:
    """Return what speaks for and against one bolt of a joint."""
    clues = weights.clues
    if bolt.opens_into_oil is not None:
        kind = ClueKind.OPENS_INTO_OIL if bolt.opens_into_oil else ClueKind.DOES_NOT_OPEN_INTO_OIL
        weight = clues["opens_into_oil"].weight(bolt.opens_into_oil)
        yield Clue(kind, weight=weight, record_id=bolt.id)
    if bolt.number in loose_bolts(suspect):
        yield _of_job(suspect, ClueKind.BOLT_NOT_TIGHTENED, clues["bolt_not_tightened"].seen)
    yield from _deviations_at(suspect, bolt, weights)
    yield from _shared_clues(suspect, weights)
    if suspect.redo is Outcome.STILL_THERE:
        yield _redo(suspect, ClueKind.STILL_WET_AFTER_REDO, weights, "bolt_wet_after_redo")
    elif suspect.redo in (Outcome.CURED, Outcome.MOVED):
        yield _redo(suspect, ClueKind.CURED_BY_REDO, weights, "cured_by_redo")


def ruled_out_clues(suspect: Suspect, bolt: Bolt | None, weights: Weights) -> Iterator[Clue]:
    """Return that a person ruled it out: the joint as a whole, or this bolt of it."""
    verdict = verdict_on(suspect, bolt)
    if verdict is not None and verdict.state is CauseState.RULED_OUT:
        yield Clue(ClueKind.RULED_OUT, weight=weights.clues["ruled_out"].seen, record_id=verdict.id)


def edge_clues(scene: Scene, weights: Weights) -> Iterator[Clue]:
    """Return what speaks for and against oil from above, out of the photo."""
    comes = scene.source.comes_from_edge if scene.source else None
    if comes is not None:
        kind = ClueKind.COMES_FROM_EDGE if comes else ClueKind.BEGINS_IN_PHOTO
        yield _of_photo(scene, kind, weights.clues["comes_from_edge"].weight(comes))


def residue_clues(scene: Scene, weights: Weights) -> Iterator[Clue]:
    """Return what speaks for and against spilled oil or residue of the assembly."""
    clues = weights.clues
    if scene.has_baseline is False:
        yield Clue(ClueKind.NO_BASELINE, weight=clues["no_baseline"].seen)
    elif scene.was_wet_at_baseline is not None:
        kind = ClueKind.WET_AT_BASELINE if scene.was_wet_at_baseline else ClueKind.DRY_AT_BASELINE
        weight = clues["wet_at_baseline"].weight(scene.was_wet_at_baseline)
        yield Clue(kind, weight=weight, record_id=scene.baseline_id)
    if scene.was_cleaned is False:
        weight = clues["not_cleaned"].seen
        yield Clue(ClueKind.NOT_CLEANED, weight=weight, record_id=scene.inspection_id)
    if scene.is_residue_seen:
        yield _of_photo(scene, ClueKind.RESIDUE_SEEN, clues["residue_seen"].seen)
    if scene.did_come_back is not None:
        kind = ClueKind.CAME_BACK if scene.did_come_back else ClueKind.STAYED_AWAY
        yield _of_photo(scene, kind, clues["came_back"].weight(scene.did_come_back))
    if scene.is_growing is not None:
        kind = ClueKind.GROWING if scene.is_growing else ClueKind.NOT_GROWING
        yield _of_photo(scene, kind, clues["growing"].weight(scene.is_growing))


def pressure_clues(scene: Scene, weights: Weights) -> Iterator[Clue]:
    """Return what speaks for and against crankcase pressure as the one cause of many leaks."""
    several, high = weights.clues["several_at_once"], weights.clues["high_pressure"]
    if scene.are_several_wet is not None:
        weight = several.weight(scene.are_several_wet)
        if scene.are_several_wet:
            yield Clue(ClueKind.SEVERAL_AT_ONCE, weight=weight, record_id=scene.inspection_id)
        else:
            yield Clue(ClueKind.ONE_AT_A_TIME, weight=weight, record_id=scene.inspection_id)
    if scene.is_pressure_high is not None:
        kind = ClueKind.HIGH_PRESSURE if scene.is_pressure_high else ClueKind.PRESSURE_NORMAL
        yield Clue(
            kind,
            scene.pressure_mmh2o,
            "mmH2O" if scene.pressure_mmh2o is not None else "",
            weight=high.weight(scene.is_pressure_high),
            record_id=scene.inspection_id,
        )


def _rule_clues(suspect: Suspect, weights: Weights) -> Iterator[Clue]:
    """Return each departure from the rule, what keeps to it as one clue, and what is unrecorded."""
    job = suspect.job
    if job is None:
        return
    broken = {one.kind for one in departures(suspect.deviations)}
    kept = checkable(job, suspect.rule, suspect.parts, has_run=True) - broken
    for deviation in suspect.deviations:
        if deviation.kind is DeviationKind.BEAD_AT_BOLT:
            continue  # oil goes out at that bolt, not at the seam
        if deviation.kind is DeviationKind.NOT_RECORDED:
            yield _deviation(suspect, deviation, 0.0)
        elif deviation.kind is not DeviationKind.REUSED_SINGLE_USE or not _is_of_bolts(
            deviation.subject
        ):
            yield _deviation(suspect, deviation, weights.clues[deviation.kind.value].seen)
    if kept:
        weight = sum(weights.clues[kind.value].absent for kind in kept)
        yield _of_job(suspect, ClueKind.RULE_KEPT, weight)


def _part_clues(suspect: Suspect, weights: Weights) -> Iterator[Clue]:
    """Return that a part was used again which may be, and does not belong to the bolts."""
    seals = [
        part for part in suspect.parts if not part.is_single_use and not _is_of_bolts(part.name)
    ]
    if any(part.condition is PartCondition.REUSED for part in seals):
        yield _of_job(suspect, ClueKind.REUSED_PART, weights.clues["reused_part"].seen)


def _past_clues(suspect: Suspect, weights: Weights) -> Iterator[Clue]:
    if suspect.earlier_leak_id is not None:
        weight = weights.clues["leaked_before"].seen
        yield Clue(ClueKind.LEAKED_BEFORE, weight=weight, record_id=suspect.earlier_leak_id)
    history = suspect.history
    if history.jobs > 0:
        usual = weights.history["leaks"] / weights.history["jobs"]
        here = (weights.history["leaks"] + history.leaks) / (weights.history["jobs"] + history.jobs)
        yield Clue(
            ClueKind.SEAL_HISTORY,
            history.leaks,
            "of",
            weight=log(here / usual),
            second=history.jobs,
        )


def _shared_clues(suspect: Suspect, weights: Weights) -> Iterator[Clue]:
    if suspect.was_fitted_later:
        yield _of_job(suspect, ClueKind.FITTED_LATER, weights.clues["fitted_later"].seen)


def _redo(suspect: Suspect, kind: ClueKind, weights: Weights, name: str) -> Clue:
    return _of_job(suspect, kind, weights.clues[name].seen)


def _of_job(suspect: Suspect, kind: ClueKind, weight: float) -> Clue:
    return Clue(kind, weight=weight, record_id=suspect.job.id if suspect.job else None)


def _deviation(suspect: Suspect, deviation: Deviation, weight: float) -> Clue:
    return Clue(
        ClueKind.RULE_DEVIATION,
        deviation=deviation,
        weight=weight,
        record_id=suspect.job.id if suspect.job else None,
    )


def _deviations_at(suspect: Suspect, bolt: Bolt, weights: Weights) -> Iterator[Clue]:
    """Return the departures from the rule that let oil out at a bolt rather than at the seam."""
    for deviation in suspect.deviations:
        if deviation.kind is DeviationKind.REUSED_SINGLE_USE and _is_of_bolts(deviation.subject):
            yield _deviation(suspect, deviation, weights.clues["bolts_reused"].seen)
        elif deviation.kind is DeviationKind.NOT_RECORDED and deviation.subject == "torque":
            yield _deviation(suspect, deviation, 0.0)
        elif deviation.kind is DeviationKind.BEAD_AT_BOLT:
            shown = [one for one in suspect.misplaced if deviation.subject == one.subject]
            if shown and shown[0].bolt_number == bolt.number:
                clue = _deviation(suspect, deviation, weights.clues["bead_at_bolt"].seen)
                yield replace(clue, photo_id=shown[0].photo_id, at_px=shown[0].at_px)


def _of_photo(scene: Scene, kind: ClueKind, weight: float) -> Clue:
    at = scene.source.at if scene.source else None
    return Clue(kind, weight=weight, photo_id=scene.photo_id, at_px=at)


def _is_of_bolts(name: str) -> bool:
    return any(known in name.lower() for known in _BOLT_WORDS)
