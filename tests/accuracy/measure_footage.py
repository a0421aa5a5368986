"""How often is the right moment found in footage, and how often one that is not there?

On the story's video, which a virtual camera made, and on films made here of photos whose scenes the
score was not learnt on. A film shows photos of other inspections than it is asked with, but for
beads, of which there is one photo each: asked with the very photo that was filmed, though with
other light, blur and shake. Queries for what is not there are of the other bank, of other engines'
zones of the same kind, and of other beads.
"""

import json
import os
import tempfile
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np

from leaktrack.imaging.reading import read_upright, upright_size
from leaktrack.model.footage import FootageAnswer, FootageQuery
from leaktrack.model.shapes import BoxPx
from leaktrack.workflows.find_footage import find_in_videos
from tests.accuracy.footage_cases import LEARNT_ON, Scene, boxes, scenes
from tests.accuracy.footage_film import RATE, Shot, film, share_in_sight
from tests.accuracy.truth import zones

FILMS = 2
SHOT_S = 4.0
_SEED = 52_000
_LEAST_SHARE, _LEAST_SHARE_OF_ALL = 0.3, 0.05
_STATES = {"bead": "open_bead", "seal": "open_bead"}
_BEST_OFF_MS = 40  # a frame is shown for so long


@dataclass(frozen=True)
class Case:
    """A query with its truth.

    Attributes:
        kind: Of what it is.
        spans: When the footage shows it, in seconds; empty where it does not.
        glimpses: When it comes into sight for less than half a second, or where the zone beside it
            was filmed: no answer is asked for, but one that tells it is right.
    """

    kind: str
    query: FootageQuery
    video: Path
    spans: tuple[tuple[float, float], ...]
    glimpses: tuple[tuple[float, float], ...] = ()


def report(folder: Path) -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as place:
        os.environ["LEAKTRACK_CACHE"] = str(Path(place) / "cache")
        _print("story's video", story_cases(folder))
        made = [case for seed in range(FILMS) for case in film_cases(folder, Path(place), seed)]
        _print(f"{FILMS} made films", made)


def story_cases(folder: Path) -> list[Case]:
    """Return queries for the story's video: inspection photos, bead photos, and what is absent."""
    story = folder / "story"
    video = story / "assembly_video.mp4"
    spans = json.loads((story / "truth_video.json").read_text())["spans"]

    def when(name: str, state: str) -> tuple[tuple[float, float], ...]:
        return tuple(
            (one["start_s"], one["end_s"])
            for one in spans
            if (one["name"], one["state"]) == (name, state)
        )

    cases = []
    for path in sorted(story.glob("bank*.jpg")):
        bank, part, last = path.stem.split("_")[:3]
        query = FootageQuery(photo=path)
        if part == "cover":
            state = "open_bead" if last == "bead" else "assembled"
            cases.append(Case(f"cover, {state}", query, video, when(f"{bank}_cover_joint", state)))
        elif last == "seal":
            true = when(f"{bank}_solenoid_seal", "open_bead")
            cases.append(Case("seal, open_bead", query, video, true))
    for zone in zones(story):
        if "solenoid" in zone.name and zone.name.startswith("story/"):
            cases += [
                Case("absent solenoid", FootageQuery(photo=one.path, box=_around(one)), video, ())
                for one in zone.photos
            ]
    others = [*sorted(folder.glob("dev/scene_*/*_i?.jpg")), *folder.glob("dev/bead_*/photo.jpg")]
    others.append(story / "strainer.jpg")
    cases += [Case("absent, other engine", FootageQuery(photo=one), video, ()) for one in others]
    return cases


def film_cases(folder: Path, place: Path, seed: int) -> list[Case]:
    """Make a film of some scenes, with clips of clutter in between; return queries for it."""
    rng = np.random.default_rng(_SEED + seed)
    known = [one for one in scenes(folder) if one.name not in LEARNT_ON] + _story_scenes(folder)
    order = rng.permutation(len(known))
    filmed, absent = [known[i] for i in order[: len(known) // 2]], order[len(known) // 2 :]
    clutter = read_upright(folder / "story" / "strainer.jpg")
    shots, of = [], []
    for scene in [*filmed, *filmed[:3]]:
        photo = scene.photos[rng.integers(len(scene.photos))]
        shots.append((str(photo), read_upright(photo), SHOT_S + rng.uniform(-1, 2)))
        of.append((scene, photo))
        if rng.random() < 0.5:
            shots.append((None, clutter, 1.5))
            of.append((None, None))
    video = place / f"film_{seed}.mp4"
    things = {str(photo): scene.things(photo) for scene, photo in of if scene and scene.zone}
    made = film(video, shots, rng, (RATE, 8 * RATE)[seed % 2], things=things)
    cases = []
    for scene in [*filmed, *(known[i] for i in absent)]:
        bank = scene.name[:11]  # "story/bank1": a neighbour on the same bank may show a part of it
        if scene not in filmed and any(one.name.startswith(bank) for one in filmed):
            continue
        filmed_of = [photo for one, photo in of if one is scene]
        asked = [photo for photo in scene.photos if photo not in filmed_of] or scene.photos
        for photo in [asked[rng.integers(len(asked))]]:
            size = upright_size(photo)
            for box, _ in zip(boxes(size, rng), range(2), strict=False):
                seen = _seen(scene, photo, box, made, of)
                if seen is None:
                    continue
                spans, glimpses = seen
                kind = ("film, " if spans else "film, absent, ") + (
                    "all of a photo" if box[0] < 0 else "a part"
                )
                query = FootageQuery(photo=photo, box=None if box[0] < 0 else BoxPx(*box))
                cases.append(Case(kind, query, video, spans, glimpses))
    return cases


def _seen(
    scene: Scene, query: Path, box: tuple[float, ...], made: list[Shot], of: list
) -> tuple[tuple[tuple[float, float], ...], tuple[tuple[float, float], ...]] | None:
    """Return when a film shows a part of a photo, and when for a moment only.

    None where it shows only too little of it.
    """
    least = _LEAST_SHARE_OF_ALL if box[0] < 0 else _LEAST_SHARE
    spans, glimpses, most = [], [], 0.0
    for shot, (filmed, photo) in zip(made, of, strict=True):
        if filmed is None or not (filmed is scene or scene.is_beside(filmed)):
            continue
        if filmed is scene:
            between = scene.between(query, photo)
        elif (beside := scene.between_beside(query, filmed, photo)) is not None:
            between = beside
        else:
            continue
        shares = np.array([share_in_sight(way, between, box) for way in shot.frames])
        if filmed is scene:
            most = max(most, float(shares.max()))
        shown = np.flatnonzero(shares >= least)
        if len(shown):
            span = shot.start_s + shown[0] / RATE, shot.start_s + (shown[-1] + 1) / RATE
            is_asked_for = filmed is scene and len(shown) >= RATE // 2
            (spans if is_asked_for else glimpses).append(span)
    if not spans and (most > 0.0 or glimpses):
        return None
    return tuple(spans), tuple(glimpses)


def _story_scenes(folder: Path) -> list[Scene]:
    return [
        Scene(zone.name, tuple(photo.path for photo in zone.photos), zone)
        for zone in zones(folder / "story")
    ]


def _around(photo) -> BoxPx:
    px = np.array(photo.facts["joints_px"]["solenoid_seal"]["px"], float)
    low, high = px.min(axis=0), px.max(axis=0)
    return BoxPx(*low.tolist(), *(high - low).tolist())


def _print(name: str, cases: list[Case]) -> None:
    answers = [find_in_videos(case.query, [case.video]) for case in cases]
    print(f"\n{name}: {len(cases)} queries")
    print("kind                             n  best right  spans overlapped  over 0.5")
    for kind in sorted({case.kind for case in cases}):
        _print_row(
            kind, [pair for pair in zip(cases, answers, strict=True) if pair[0].kind == kind]
        )
    both = list(zip(cases, answers, strict=True))
    _print_row("all that is there", [pair for pair in both if pair[0].spans])
    _print_row("all that is absent", [pair for pair in both if not pair[0].spans])
    print("best score   n  of them right")
    scores = np.array([_top(answer) for answer in answers])
    right = np.array([_is_right(case, answer) for case, answer in both])
    edges = [0.0, 0.1, 0.3, 0.5, 0.7, 0.9, 1.0001]
    for low, high in pairwise(edges):
        within = (scores >= low) & (scores < high)
        if within.any():
            print(f"{low:.1f} - {high:.1f}  {within.sum():3}  {right[within].mean():.2f}")
    for case, answer in both:
        if (case.spans and not _is_right(case, answer)) or (not case.spans and _top(answer) > 0.5):
            told = [(one.best_ms / 1000, round(one.score, 2)) for one in answer.spans[:2]]
            print(
                f"  wrong: {case.kind}, {case.query.photo.parent.name}/{case.query.photo.name}, "
                f"true {[(round(a, 1), round(b, 1)) for a, b in case.spans]}, told {told}"
            )


def _print_row(kind: str, pairs: list[tuple[Case, FootageAnswer]]) -> None:
    there = [pair for pair in pairs if pair[0].spans]
    right = f"{np.mean([_is_right(*pair) for pair in there]):10.2f}" if there else " " * 10
    true = [(span, answer) for case, answer in there for span in case.spans]
    met = f"{np.mean([_is_met(*one) for one in true]):10.2f}" if true else " " * 10
    over = np.mean([_top(answer) > 0.5 for _, answer in pairs]) if pairs else np.nan
    print(f"{kind:30} {len(pairs):3}  {right}  {met}        {over:8.2f}")


def _top(answer: FootageAnswer) -> float:
    return answer.spans[0].score if answer.spans else 0.0


def _is_right(case: Case, answer: FootageAnswer) -> bool:
    if not answer.spans:
        return False
    best_s = answer.spans[0].best_ms / 1000
    slack = _BEST_OFF_MS / 1000
    return any(start - slack <= best_s <= end + slack for start, end in case.spans + case.glimpses)


def _is_met(span: tuple[float, float], answer: FootageAnswer) -> bool:
    return any(
        one.start_ms / 1000 <= span[1] and one.end_ms / 1000 >= span[0] for one in answer.spans
    )
