"""Which origins of a leak come into question, with their shares and what speaks for each?"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from math import hypot, log

import numpy as np

from leaktrack.analysis import cluing
from leaktrack.analysis.endangering import bead_clue, danger
from leaktrack.analysis.locating import AT_SIGMAS, among_clues, later_clues, place_clue, sigma_mm
from leaktrack.analysis.sourcing import below
from leaktrack.analysis.spacing import room_clues
from leaktrack.analysis.spreading import (
    Numbers,
    PlaceOnSeam,
    Seam,
    density,
    in_stages,
    place_on,
    plain_densities,
    seam_of,
)
from leaktrack.analysis.stationing import StationFix, ruled_line
from leaktrack.analysis.suspecting import Scene, Suspect, loose_bolts
from leaktrack.analysis.weighing import Weights
from leaktrack.model.engine import Bolt, JointLine
from leaktrack.model.source import FoundSource
from leaktrack.model.trace import Clue, ClueKind, Origin

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
    """A suspect whose joint's line is in the photo.

    Attributes:
        stages: How densely sources show up of oil from each place of the seam, of shape (n,): by
            the first look, then with each later one.
    """

    suspect: Suspect
    line: JointLine
    seam: Seam
    stages: tuple[Numbers, ...] = field(repr=False)

    @property
    def densities(self) -> Numbers:
        """By all looks."""
        return self.stages[-1]


def hypotheses(suspects: Sequence[Suspect], scene: Scene, weights: Weights) -> list[Hypothesis]:
    """Return all origins in question; those of joints first, in the order of the suspects.

    Bolts far from the source are left out, as their chance is nil, unless a person judged them.
    """
    drawn = [_drawn(one, scene.source, weights) for one in suspects]
    plain = plain_densities(scene.source, weights.places) if scene.source else ()
    of_joints = _of_joints(suspects, drawn, scene, weights, plain)
    missing = weights.missing_share(_recorded(suspects, drawn, weights))
    recorded = weights.shares["unknown"] + weights.joints_share - missing
    return [
        *(replace(one, share=one.share * recorded) for one in of_joints),
        *_of_others(of_joints, drawn, missing, scene, weights),
    ]


def _recorded(
    suspects: Sequence[Suspect], drawn: Sequence[_Drawn | None], weights: Weights
) -> float:
    """Return how many joints are recorded about the leak, each counted by its kind."""
    elsewhere = weights.parts["not_drawn_elsewhere"]
    by_joint = {
        one.joint.id: weights.parts[one.joint.seal_kind.value]
        * (1.0 if one.is_in_zone or shown is not None else elsewhere)
        for one, shown in zip(suspects, drawn, strict=True)
    }
    return sum(by_joint.values())


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
    stages = tuple(density(one, seam.xy, weights.places) for one in in_stages(source))
    return _Drawn(suspect, line, seam, stages)


def _of_joints(
    suspects: Sequence[Suspect],
    drawn: Sequence[_Drawn | None],
    scene: Scene,
    weights: Weights,
    plain: Sequence[float],
) -> list[Hypothesis]:
    """Return the seals and bolts of all suspects, their shares adding up to 1."""
    raw = []
    for suspect, shown in zip(suspects, drawn, strict=True):
        raw.append(_seal(suspect, shown, scene, weights, plain))
        if shown is not None and suspect.job is not None and scene.source is not None:
            raw += _bolts(shown, scene, scene.source, weights, plain)
    # All bolts that the photo could show count in the sum, whether one is near the source or not.
    total = sum(one.share for one in raw if one.bolt is None) + sum(
        len(suspect.bolts) * weights.parts["one_bolt"]
        for suspect, shown in zip(suspects, drawn, strict=True)
        if shown is not None and suspect.job is not None
    )
    return [replace(one, share=one.share / total) for one in raw]


def _seal(
    suspect: Suspect,
    drawn: _Drawn | None,
    scene: Scene,
    weights: Weights,
    plain: Sequence[float],
) -> Hypothesis:
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
    by_look = [log(float(one.mean()) / each) for one, each in zip(drawn.stages, plain, strict=True)]
    clues = [place_clue(fix, place, scene, source, weights, by_look[0])]
    clues += later_clues(by_look, source, lambda at: seam.line.station_at(at).distance_px, scene)
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


def _bolts(
    drawn: _Drawn, scene: Scene, source: FoundSource, weights: Weights, plain: Sequence[float]
) -> Iterator[Hypothesis]:
    """Return the bolts of a joint that the source may come from."""
    numbered = {bolt.number: bolt for bolt in drawn.suspect.bolts}
    places = [
        (numbered[point.bolt_number], point.head or point.at, point.at)
        for point in drawn.line.points
        if point.bolt_number is not None and point.bolt_number in numbered
    ]
    sigma = hypot(sigma_mm(source, weights), weights.places["bolt_mm"])
    for bolt, head, at in places:
        away_mm = head.distance_px(source.at) * source.mm_per_px
        out = below(head, source.trail, weights.places["washer_mm"] / source.mm_per_px)
        xy = np.array([[out.x, out.y]])
        by_look = [
            log(float(density(one, xy, weights.places, weights.places["bolt_mm"])[0]) / each)
            for one, each in zip(in_stages(source), plain, strict=True)
        ]
        if by_look[-1] < LEAST_OF_BOLT and not _is_judged(drawn.suspect, bolt):
            continue
        sigmas = out.distance_px(source.at) * source.mm_per_px / sigma
        is_at = sigmas <= AT_SIGMAS
        clue = Clue(
            ClueKind.AT_A_BOLT if is_at else ClueKind.NEAR_A_BOLT,
            float(bolt.number) if is_at else away_mm,
            "bolt" if is_at else "mm",
            weight=by_look[0],
            second=sigmas,
            photo_id=scene.photo_id,
            at_px=head,
        )
        later = later_clues(by_look, source, head.distance_px, scene)
        others = (
            *cluing.bolt_clues(drawn.suspect, bolt, weights),
            *cluing.ruled_out_clues(drawn.suspect, bolt, weights),
        )
        yield Hypothesis(
            origin=Origin.BOLT,
            share=weights.parts["one_bolt"],
            clues=(clue, *later, *others),
            suspect=drawn.suspect,
            bolt=bolt,
            fix=drawn.seam.line.station_at(source.at),
            place=PlaceOnSeam(0.0, at, sigma),
            station=float(bolt.number),
        )


def _of_others(
    of_joints: Sequence[Hypothesis],
    drawn: Sequence[_Drawn | None],
    missing: float,
    scene: Scene,
    weights: Weights,
) -> Iterator[Hypothesis]:
    shares = weights.shares
    seams = [one.seam for one in drawn if one is not None]
    yield Hypothesis(
        origin=Origin.UNKNOWN, share=missing, clues=tuple(room_clues(scene, seams, weights))
    )
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
    fits = [(one.share, one.clues) for one in of_joints] if seams else []
    yield Hypothesis(
        origin=Origin.CRANKCASE_PRESSURE,
        share=shares["crankcase_pressure"],
        clues=(*among_clues(fits), *cluing.pressure_clues(scene, weights)),
    )


def _is_judged(suspect: Suspect, bolt: Bolt) -> bool:
    return any(verdict.bolt_id == bolt.id for verdict in suspect.verdicts)
