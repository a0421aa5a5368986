"""Which origins of a leak come into question, with their shares and what speaks for each?"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from math import hypot, log

import numpy as np

from leaktrack.analysis import cluing
from leaktrack.analysis.endangering import bead_clue, danger
from leaktrack.analysis.sourcing import is_above
from leaktrack.analysis.spreading import (
    Numbers,
    PlaceOnSeam,
    Seam,
    density,
    place_on,
    plain_density,
    seam_of,
)
from leaktrack.analysis.stationing import StationFix, ruled_line
from leaktrack.analysis.suspecting import Scene, Suspect, loose_bolts
from leaktrack.analysis.weighing import Weights
from leaktrack.model.engine import Bolt, JointLine
from leaktrack.model.source import FoundSource
from leaktrack.model.trace import Clue, ClueKind, Origin

# Within so many standard deviations a source is said to be at a joint or at a bolt. Own judgement.
AT_SIGMAS = 2.0
# A bolt whose place speaks more strongly against it than this is left out: together such bolts have
# less than one chance in a hundred.
LEAST_OF_BOLT = -1.5
# A clue that changes the odds by less than this, and says nothing else, is left out.
LEAST_WEIGHT = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Hypothesis:
    """One origin with its share before any clue and what speaks for it.

    Attributes:
        share: Of all leaks, before any clue.
        fix: The place on the joint's line that is nearest to the source.
        place: The likeliest place on the joint.
    """

    origin: Origin
    share: float
    clues: tuple[Clue, ...]
    suspect: Suspect | None = None
    bolt: Bolt | None = None
    fix: StationFix | None = None
    place: PlaceOnSeam | None = None
    station: float | None = None

    @property
    def log_odds(self) -> float:
        """Logarithm of share times likelihood, but for what all origins have in common."""
        return log(self.share) + sum(clue.weight for clue in self.clues)


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A suspect whose joint's line is in the photo."""

    suspect: Suspect
    line: JointLine
    seam: Seam
    densities: Numbers = field(repr=False)


def hypotheses(suspects: Sequence[Suspect], scene: Scene, weights: Weights) -> list[Hypothesis]:
    """Return all origins in question; those of joints first, in the order of the suspects.

    Bolts far from the source are left out, as their chance is nil, unless a person judged them.
    """
    drawn = [_drawn(one, scene.source, weights) for one in suspects]
    return [
        *_of_joints(suspects, drawn, scene, weights),
        *_of_others(drawn, scene, weights),
    ]


def _drawn(suspect: Suspect, source: FoundSource | None, weights: Weights) -> _Drawn | None:
    line = suspect.line
    if source is None or line is None:
        return None
    joint = suspect.joint
    ruled = ruled_line(
        line,
        suspect.bolts,
        is_closed=joint.is_closed,
        length_mm=joint.length_mm,
        plane=suspect.plane,
    )
    seam = seam_of(ruled, source.mm_per_px)
    return _Drawn(suspect, line, seam, density(source, seam.xy, weights.places))


def _of_joints(
    suspects: Sequence[Suspect],
    drawn: Sequence[_Drawn | None],
    scene: Scene,
    weights: Weights,
) -> list[Hypothesis]:
    """Return the seals and bolts of all suspects, their shares adding up to the joints' share."""
    raw = []
    for suspect, shown in zip(suspects, drawn, strict=True):
        raw.append(_seal(suspect, shown, scene, weights))
        if shown is not None and suspect.job is not None and scene.source is not None:
            raw += _bolts(shown, scene, scene.source, weights)
    # All bolts that the photo could show count in the sum, whether one is near the source or not.
    total = sum(one.share for one in raw if one.bolt is None) + sum(
        len(suspect.bolts) * weights.parts["one_bolt"]
        for suspect, shown in zip(suspects, drawn, strict=True)
        if shown is not None and suspect.job is not None
    )
    scale = weights.joints_share / total if total > 0 else 0.0
    return [replace(one, share=one.share * scale) for one in raw]


def _seal(suspect: Suspect, drawn: _Drawn | None, scene: Scene, weights: Weights) -> Hypothesis:
    share = weights.parts[suspect.joint.seal_kind.value]
    origin = Origin.SEAL
    if suspect.job is None:
        share *= weights.parts["without_job"]
        origin = Origin.JOINT_WITHOUT_JOB
    others = (
        *cluing.seal_clues(suspect, weights),
        *cluing.ruled_out_clues(suspect, None, weights),
    )
    if drawn is None or scene.source is None:
        name = "not_drawn_in_zone" if suspect.is_in_zone else "not_drawn_elsewhere"
        not_drawn = Clue(ClueKind.LINE_NOT_DRAWN, weight=log(weights.parts[name]))
        # Its bolts have no place of their own here: the seal stands for them too.
        share += len(suspect.bolts) * weights.parts["one_bolt"] if suspect.job else 0.0
        return Hypothesis(origin=origin, share=share, clues=(not_drawn, *others), suspect=suspect)
    seam, source = drawn.seam, scene.source
    fix = seam.line.station_at(source.at)
    found = danger(seam, suspect.audits, loose_bolts(suspect), weights.beads)
    by_bead = drawn.densities * found.bead
    chances = by_bead * found.bolts
    place = place_on(seam, chances)
    station = (
        seam.line.ruler.wrapped(seam.line.station_along(place.along_px))
        if seam.line.is_ruled
        else None
    )
    clues = [_place_clue(drawn, fix, place, scene, source, weights)]
    of_bead = log(float(by_bead.sum() / drawn.densities.sum()))
    said = bead_clue(seam, found, station, of_bead, weights.beads)
    clues += [said] if said is not None else []
    of_bolts = log(float(chances.sum() / by_bead.sum()))
    if of_bolts >= LEAST_WEIGHT:
        clues.append(
            Clue(
                ClueKind.BESIDE_LOOSE_BOLT,
                weight=of_bolts,
                record_id=suspect.job.id if suspect.job else None,
            )
        )
    return Hypothesis(
        origin=origin, share=share, clues=(*clues, *others), suspect=suspect, fix=fix,
        place=place, station=station,
    )  # fmt: skip


def _place_clue(
    drawn: _Drawn,
    fix: StationFix,
    place: PlaceOnSeam,
    scene: Scene,
    source: FoundSource,
    weights: Weights,
) -> Clue:
    weight = log(float(drawn.densities.mean()) / plain_density(source))
    away_mm = fix.distance_px * source.mm_per_px
    sigmas = away_mm / _sigma_mm(source, weights)
    if sigmas <= AT_SIGMAS:
        kind = ClueKind.AT_THE_JOINT
    elif is_above(place.at, source.at, source.trail):
        kind = ClueKind.BELOW_THE_JOINT
    else:
        kind = ClueKind.ABOVE_THE_JOINT
    return Clue(
        kind,
        fix.distance_px if source.is_scale_assumed else away_mm,
        "px" if source.is_scale_assumed else "mm",
        weight=weight,
        second=sigmas,
        photo_id=scene.photo_id,
        at_px=place.at,
    )


def _bolts(
    drawn: _Drawn, scene: Scene, source: FoundSource, weights: Weights
) -> Iterator[Hypothesis]:
    """Return the bolts of a joint that the source may come from."""
    numbered = {bolt.number: bolt for bolt in drawn.suspect.bolts}
    places = [
        (numbered[point.bolt_number], point.head or point.at, point.at)
        for point in drawn.line.points
        if point.bolt_number is not None and point.bolt_number in numbered
    ]
    sigma = hypot(_sigma_mm(source, weights), weights.places["bolt_mm"])
    for bolt, head, at in places:
        away_mm = head.distance_px(source.at) * source.mm_per_px
        here = density(
            source, np.array([[head.x, head.y]]), weights.places, weights.places["bolt_mm"]
        )
        weight = log(float(here[0]) / plain_density(source))
        if weight < LEAST_OF_BOLT and not _is_judged(drawn.suspect, bolt):
            continue
        is_at = away_mm <= AT_SIGMAS * sigma
        clue = Clue(
            ClueKind.AT_A_BOLT if is_at else ClueKind.NEAR_A_BOLT,
            float(bolt.number) if is_at else away_mm,
            "bolt" if is_at else "mm",
            weight=weight,
            second=away_mm / sigma,
            photo_id=scene.photo_id,
            at_px=head,
        )
        others = (
            *cluing.bolt_clues(drawn.suspect, bolt, weights),
            *cluing.ruled_out_clues(drawn.suspect, bolt, weights),
        )
        yield Hypothesis(
            origin=Origin.BOLT,
            share=weights.parts["one_bolt"],
            clues=(clue, *others),
            suspect=drawn.suspect,
            bolt=bolt,
            fix=drawn.seam.line.station_at(source.at),
            place=PlaceOnSeam(0.0, at, sigma),
            station=float(bolt.number),
        )


def _of_others(
    drawn: Sequence[_Drawn | None], scene: Scene, weights: Weights
) -> Iterator[Hypothesis]:
    shares = weights.shares
    yield Hypothesis(origin=Origin.UNKNOWN, share=shares["unknown"], clues=())
    yield Hypothesis(origin=Origin.PART_BODY, share=shares["part_body"], clues=())
    yield Hypothesis(
        origin=Origin.FROM_ABOVE,
        share=shares["from_above"],
        clues=tuple(cluing.edge_clues(scene, weights)),
    )
    yield Hypothesis(
        origin=Origin.RESIDUE,
        share=shares["residue"],
        clues=tuple(cluing.residue_clues(scene, weights)),
    )
    yield Hypothesis(
        origin=Origin.CRANKCASE_PRESSURE,
        share=shares["crankcase_pressure"],
        clues=(*_among(drawn, scene), *cluing.pressure_clues(scene, weights)),
    )


def _among(drawn: Sequence[_Drawn | None], scene: Scene) -> Iterator[Clue]:
    """Return how near to any joint the leak starts: pressure pushes oil out at joints."""
    shown = {one.suspect.joint.id: one.densities.mean() for one in drawn if one is not None}
    if shown and scene.source is not None:
        mean = sum(float(each) for each in shown.values()) / len(shown)
        yield Clue(ClueKind.AMONG_THE_JOINTS, weight=log(mean / plain_density(scene.source)))


def _sigma_mm(source: FoundSource, weights: Weights) -> float:
    places = weights.places
    return hypot(source.sigma_mm, places["line_mm"], places["wick_mm"])


def _is_judged(suspect: Suspect, bolt: Bolt) -> bool:
    return any(verdict.bolt_id == bolt.id for verdict in suspect.verdicts)
