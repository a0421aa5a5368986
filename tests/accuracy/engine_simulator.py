"""Invented engines that leak, for measuring how well leaks are traced.

It knows nothing of the tracing's weights: it builds what is physically there and lets oil find
its way. Each place along each joint has a slit of some height: from the sealant that was laid
there, the time it lay open, the tightening beside it and what nobody knows of. Flow through a slit
goes with the cube of its height, and where most would flow, it leaks first. The oil then runs down,
over ledges, blown by air where there was some; people photograph, click and write down what they
see, with slips and gaps.

All lengths are in mm on a flat face, x to the right and y down. Every number here is invented:
chosen to look like a workshop, before the first measurement, and not fitted.
"""

from dataclasses import dataclass, field

import numpy as np

HOLE_SPAN = (28.0, 48.0)  # between bolts


@dataclass
class Seam:
    """One joint as it is built.

    Attributes:
        path: Corners, of shape (n, 2).
        heads: Middles of the bolt heads, of shape (b, 2); may be empty.
        bolt_s: Place of each bolt along the path.
        slit: Height in micrometres at each whole mm along the path.
        gaps: Stretches of the bead that are missing: start, end.
        thins: The same of thin ones.
    """

    name: str
    kind: str
    path: np.ndarray
    is_closed: bool
    heads: np.ndarray
    bolt_s: np.ndarray
    slit: np.ndarray = field(default_factory=lambda: np.zeros(0))
    bolt_slit: np.ndarray = field(default_factory=lambda: np.zeros(0))
    gaps: list[tuple[float, float]] = field(default_factory=list)
    thins: list[tuple[float, float]] = field(default_factory=list)
    minutes_open: float = 0.0
    bead_mm: float = 3.0
    air_c: float = 18.0
    cure_h: float = 48.0
    is_ring_reused: bool = False
    are_bolts_reused: bool = False
    is_warped: bool = False
    loose: set[int] = field(default_factory=set)
    wet_holes: set[int] = field(default_factory=set)

    @property
    def length(self) -> float:
        """Length of the whole path."""
        return float(_lengths(self.path, self.is_closed)[-1])

    def at(self, s: float) -> np.ndarray:
        """The place at some length along the path."""
        return self.at_each(np.array([s]))[0]

    def at_each(self, s: np.ndarray) -> np.ndarray:
        """The places at many lengths along the path, of shape (n, 2)."""
        corners = np.vstack([self.path, self.path[:1]]) if self.is_closed else self.path
        lengths = _lengths(self.path, self.is_closed)
        s = s % lengths[-1] if self.is_closed else s
        return np.column_stack([np.interp(s, lengths, corners[:, axis]) for axis in (0, 1)])


@dataclass
class Look:
    """One look at the wet area and how its photo was taken.

    Attributes:
        track: The way of the oil as far as it can be seen, of shape (k, 2).
        outline: Edge of the wet area on the face, of shape (n, 2).
        click: Where somebody placed the source; None where nobody did.
    """

    track: np.ndarray
    outline: np.ndarray
    click: np.ndarray | None
    airflow: str
    roll_deg: float


@dataclass
class Seen:
    """What people saw.

    Attributes:
        first: The first look that found it wet.
        later: A later one whose photo somebody marked as well; None where nobody did.
    """

    first: Look
    later: Look | None
    grows: bool | None
    came_back: bool | None
    looks_like_residue: bool


@dataclass
class Leak:
    """What really happened.

    Attributes:
        origin: "seal", "bolt", "part_body", "residue", "from_above", "crankcase_pressure".
        seam: Index of the joint, for seal and bolt.
        s: Along that joint.
        bolt: Index of the bolt.
        at: Where the oil comes out.
    """

    origin: str
    at: np.ndarray
    seam: int | None = None
    s: float | None = None
    bolt: int | None = None


@dataclass
class Face:
    """One side of an engine with its joints, as one photo shows it."""

    width: float
    height: float
    seams: list[Seam]
    pressure: float
    several_wet: bool


def a_face(rng: np.random.Generator) -> Face:
    """Return a face with two to five joints, built with all the luck and misfortune of a day."""
    width = rng.uniform(240, 400)
    face = Face(width, width * 0.75, [], 1.0, several_wet=False)
    for index in range(rng.integers(1, 3)):
        face.seams.append(_cover_seam(rng, face, index))
    for index in range(rng.integers(1, 4)):
        seam = _ring(rng, face, index)
        if seam is not None:
            face.seams.append(seam)
    if rng.random() < 0.03:
        face.pressure = rng.uniform(6, 20)
    for seam in face.seams:
        _seal(rng, seam)
    return face


def a_leak(rng: np.random.Generator, face: Face) -> Leak:
    """Return where it leaks first: where most oil would flow, or somewhere else altogether."""
    roll = rng.random()
    if roll < 0.06:
        return Leak("residue", _anywhere(rng, face, low=0.3))
    if roll < 0.09:
        return Leak("part_body", _anywhere(rng, face))
    if roll < 0.16:
        return Leak("from_above", np.array([rng.uniform(0.05, 0.95) * face.width, 0.0]))
    flows = [np.clip(seam.slit - 4.0, 0, None) ** 3 for seam in face.seams]
    bolts = [np.clip(seam.bolt_slit - 4.0, 0, None) ** 3 * 6 for seam in face.seams]
    totals = np.array([*(flow.sum() for flow in flows), *(flow.sum() for flow in bolts)])
    # What leaks first is what leaks most, with some luck.
    luck = rng.exponential(1.0, len(totals))
    chosen = (
        int(np.argmax(totals**0.5 * luck)) if totals.max() > 0 else int(rng.integers(len(flows)))
    )
    index = chosen % len(flows)
    seam = face.seams[index]
    if chosen >= len(flows):
        bolt = int(rng.choice(len(seam.heads), p=_shares(bolts[index])))
        angle = rng.normal(np.pi / 2, 0.7)  # at the lower side of the washer, mostly
        at = seam.heads[bolt] + 6.0 * np.array([np.cos(angle), np.sin(angle)])
        leak = Leak("bolt", at, index, float(seam.bolt_s[bolt]), bolt)
    else:
        s = float(rng.choice(len(flows[index]), p=_shares(flows[index]))) + rng.uniform(0, 1)
        leak = Leak("seal", seam.at(s), index, s)
    if face.pressure > 1.0:
        leak.origin = "crankcase_pressure"
        face.several_wet = rng.random() < 0.8
    else:
        face.several_wet = rng.random() < 0.03
    return leak


def what_is_seen(rng: np.random.Generator, face: Face, leak: Leak) -> Seen:
    """Return what looks show of a leak, and what somebody marks of it."""
    hidden = rng.uniform(6, 60) if rng.random() < 0.04 else 0.0  # by a hose, at each look
    is_first_run = rng.random() < 0.75
    reach = rng.exponential(25 if is_first_run else 60) + 4
    if leak.origin == "residue":
        reach = rng.exponential(15) + 3
    airflow, angle = _air(rng)
    way = _track(rng, face, leak.at, reach, angle)
    marks_wettest = rng.random() < 0.07  # where it is wettest, not where it begins
    first = _look(rng, leak, way, airflow, hidden, marks_wettest)
    does_leak = leak.origin != "residue"
    came_back = None
    if rng.random() < 0.3:
        came_back = bool(rng.random() < (0.9 if does_leak else 0.08))
    grows = None
    if rng.random() < 0.5:
        grows = bool(rng.random() < (0.6 if does_leak else 0.07))
    looks = bool(rng.random() < (0.3 if not does_leak else 0.01))
    later = None
    # Whoever says whether it grows looked twice; most of them marked the second photo too.
    if grows is not None and rng.random() < 0.8:
        further = reach + (rng.exponential(30) if grows else 0.0)
        is_washed = does_leak and rng.random() < 0.5  # wiped between the looks, it ran anew
        if is_washed:
            airflow, angle = _air(rng)
            way = _track(rng, face, leak.at, further, angle)
        elif further > reach:
            way = np.vstack([way, _track(rng, face, way[-1], further - reach, angle)[1:]])
        # The same person marks it, with the same habit as often as not.
        again = marks_wettest if rng.random() < 0.5 else rng.random() < 0.07
        later = _look(rng, leak, way, airflow, hidden, again)
        if first.click is not None and rng.random() < 0.5:  # carried over, and let stand
            later.click = first.click + rng.normal(0, 1.5, 2)
    return Seen(first, later, grows, came_back, looks)


def _air(rng: np.random.Generator) -> tuple[str, float]:
    """Return whether air blew, as somebody wrote it down, and where the oil is driven to."""
    airflow = str(rng.choice(["none", "driven", "unknown"], p=[0.6, 0.2, 0.2]))
    blown = rng.choice([-1, 1]) * rng.uniform(15, 50) if airflow == "driven" else 0.0
    return airflow, float(np.radians(blown + rng.normal(0, 6)))


def _look(
    rng: np.random.Generator,
    leak: Leak,
    way: np.ndarray,
    airflow: str,
    hidden: float,
    marks_wettest: bool,
) -> Look:
    """Return what one look shows of the way of the oil, and what is marked of it."""
    wet = track = way
    if leak.origin == "from_above":
        # It comes in over the photo's edge, which a camera held askew puts above the face's edge.
        height = np.linspace(-80.0, -5.0, 16)
        wet = np.vstack([np.column_stack([np.full(16, leak.at[0]), height]), track])
    elif hidden > 0:
        wet = track = _without_start(track, hidden)
    elif rng.random() < 0.083:  # the upper part was wiped, or dried
        wet = track = _without_start(track, rng.uniform(6, 60))
    half = rng.uniform(1.5, 5.0)
    along = rng.uniform(1.0, 7.0)  # it creeps along an edge before it runs
    outline = _outline(rng, wet, half, along)
    click = track[0] + rng.normal(0, 2.0, 2)
    if marks_wettest:
        click = track[len(track) // 2] + rng.normal(0, 3.0, 2)
    elif rng.random() < 0.022:  # any slip
        click = track[0] + rng.normal(0, 15.0, 2)
    click[1] = max(click[1], 1.0)
    no_click = rng.random() < 0.12
    return Look(track, outline, None if no_click else click, airflow, rng.normal(0, 7.0))


def _cover_seam(rng: np.random.Generator, face: Face, index: int) -> Seam:
    y = face.height * (rng.uniform(0.25, 0.45) if index == 0 else rng.uniform(0.6, 0.85))
    x = np.linspace(0.02, 0.98, 12) * face.width
    path = np.column_stack([x, y + rng.normal(0, 1.5, 12) + rng.normal(0, 0.04) * (x - x.mean())])
    spacing = rng.uniform(*HOLE_SPAN)
    bolt_s = np.arange(rng.uniform(8, 20), face.width * 0.94, spacing)
    bolt_s = bolt_s + rng.normal(0, 2.0, len(bolt_s))
    side = rng.choice([-1, 1]) * rng.uniform(9, 16)
    kind = str(rng.choice(["liquid_gasket", "gasket"], p=[0.75, 0.25]))
    seam = Seam(f"cover {index}", kind, path, False, np.zeros((0, 2)), bolt_s)
    seam.heads = seam.at_each(bolt_s) + np.array([0.0, side])
    return seam


def _ring(rng: np.random.Generator, face: Face, index: int) -> Seam | None:
    """Return a closed joint that keeps off the others; None where there is no room for it."""
    kinds = ["liquid_gasket", "o_ring", "lip_seal", "profile_ring", "washer"]
    kind = str(rng.choice(kinds, p=[0.35, 0.2, 0.2, 0.15, 0.1]))
    radius = {"washer": rng.uniform(9, 13), "lip_seal": rng.uniform(18, 32)}.get(
        kind, rng.uniform(14, 38)
    )
    for _ in range(30):
        middle = np.array(
            [rng.uniform(radius, face.width - radius), rng.uniform(radius, face.height - radius)]
        )
        away = [np.hypot(*(seam.path - middle).T).min() for seam in face.seams]
        if min(away) > radius + 10:
            break
    else:
        return None
    turns = np.linspace(0, 2 * np.pi, 24, endpoint=False) + rng.uniform(0, 1)
    stretch = rng.uniform(0.7, 1.0)
    path = middle + radius * np.column_stack([np.cos(turns), stretch * np.sin(turns)])
    seam = Seam(f"ring {index}", kind, path, True, np.zeros((0, 2)), np.zeros(0))
    if kind not in ("washer", "lip_seal"):
        count = int(rng.integers(2, 5))
        seam.bolt_s = (np.arange(count) + rng.uniform(0.05, 0.2)) * seam.length / count
        outwards = [seam.at(s) - middle for s in seam.bolt_s]
        seam.heads = np.array([middle + v * (1 + 8 / np.hypot(*v)) for v in outwards])
    return seam


def _seal(rng: np.random.Generator, seam: Seam) -> None:
    """Do the sealing: fill in the slits, and what made them."""
    count = max(8, int(seam.length))
    slit = rng.lognormal(np.log(1.5), 0.4, count)
    seam.is_warped = rng.random() < 0.05
    if seam.is_warped:
        slit += rng.uniform(2, 7) * np.abs(np.sin(np.linspace(0, rng.uniform(2, 6), count)))
    for _ in range(rng.poisson(seam.length / 1200)):  # dirt, a scratch: nobody knows
        start = rng.uniform(0, seam.length)
        _open(slit, start, start + rng.uniform(2, 8), rng.uniform(6, 16))
    if seam.kind == "liquid_gasket":
        _lay_bead(rng, seam, slit)
    else:
        seam.is_ring_reused = rng.random() < 0.15
        if seam.is_ring_reused:
            slit += rng.uniform(1, 8)
        if rng.random() < 0.07:  # pinched or nicked when it was fitted
            start = rng.uniform(0, seam.length)
            _open(slit, start, start + rng.uniform(3, 9), rng.uniform(10, 25))
    _tighten(rng, seam, slit)
    seam.slit = slit


def _tighten(rng: np.random.Generator, seam: Seam, slit: np.ndarray) -> None:
    seam.are_bolts_reused = rng.random() < 0.3
    seam.wet_holes = {b for b in range(len(seam.heads)) if rng.random() < 0.08}
    seam.loose = {b for b in range(len(seam.heads)) if rng.random() < 0.015}
    seam.bolt_slit = np.zeros(len(seam.heads))
    for bolt in range(len(seam.heads)):
        if bolt in seam.wet_holes:
            seam.bolt_slit[bolt] = rng.uniform(2, 14) + 6 * seam.are_bolts_reused
        if bolt in seam.loose:
            away = np.abs(np.arange(len(slit)) - seam.bolt_s[bolt])
            slit += rng.uniform(6, 18) * np.exp(-((away / 14) ** 2))
            seam.bolt_slit[bolt] += rng.uniform(4, 14)
        elif rng.random() < 0.01:  # a damaged thread or washer
            seam.bolt_slit[bolt] += rng.uniform(6, 14)


def _lay_bead(rng: np.random.Generator, seam: Seam, slit: np.ndarray) -> None:
    seam.bead_mm = float(np.clip(rng.normal(3.0, 0.35), 1.8, 4.5))
    seam.minutes_open = rng.lognormal(np.log(6.5), 0.45)
    seam.air_c = rng.normal(18, 5)
    seam.cure_h = rng.lognormal(np.log(60), 0.6)
    for _ in range(rng.poisson(seam.length / 900)):  # the nozzle stopped, or a bubble
        start, length = rng.uniform(0, seam.length), rng.lognormal(np.log(3.0), 0.55)
        seam.gaps.append((start, start + length))
        # Closing squeezes sealant in from both ends: short gaps close mostly.
        _open(slit, start, start + length, 26 * (1 - np.exp(-((length / 3.5) ** 2))))
    for _ in range(rng.poisson(seam.length / 700)):
        start = rng.uniform(0, seam.length)
        seam.thins.append((start, start + rng.uniform(5, 14)))
        _open(slit, *seam.thins[-1], rng.uniform(0, 5))
    slit += max(0.0, seam.minutes_open - 9.0) * rng.uniform(0.3, 1.0)  # it had a skin
    slit += max(0.0, 2.4 - seam.bead_mm) * 6
    slit += max(0.0, 8.0 - seam.air_c) * 0.5 + max(0.0, 20 - seam.cure_h) * 0.15
    if rng.random() < 0.1:  # moved after contact
        start = rng.uniform(0, seam.length)
        _open(slit, start, start + rng.uniform(10, 30), rng.uniform(4, 12))


def _open(slit: np.ndarray, start: float, end: float, height: float) -> None:
    index = np.arange(int(start), max(int(start) + 1, int(np.ceil(end)))) % len(slit)
    slit[index] += height


def _track(
    rng: np.random.Generator, face: Face, start: np.ndarray, reach: float, angle: float
) -> np.ndarray:
    """Return the way of the oil: down, off course, and along ledges that it meets."""
    ledges = [seam.path[:, 1].mean() for seam in face.seams if not seam.is_closed]
    at, way = start.astype(float), [start.astype(float)]
    left = reach
    while left > 0 and at[1] < face.height:
        step = 2.0
        angle += rng.normal(0, 0.05)
        following = at + step * np.array([np.sin(angle), np.cos(angle)])
        crossed = [y for y in ledges if at[1] < y - 1 <= following[1] and y - start[1] > 6]
        if crossed and rng.random() < 0.35:
            side = rng.choice([-1, 1]) * rng.uniform(4, 30)
            way.append(np.array([at[0] + side / 2, at[1] + 0.3]))
            following = np.array([at[0] + side, at[1] + 0.6])
            left -= abs(side)
        at = following
        way.append(at.copy())
        left -= step
    if len(way) == 1:
        way.append(way[0] + [0.0, 2.0])
    return np.array(way)


def _without_start(track: np.ndarray, lost: float) -> np.ndarray:
    gone = _lengths(track, False)
    keep = track[gone >= lost]
    return keep if len(keep) > 1 else track[-2:]


def _outline(rng: np.random.Generator, track: np.ndarray, half: float, along: float) -> np.ndarray:
    """Return the edge of a wet streak that is somewhat wider at its top."""
    steps = np.diff(track, axis=0)
    steps = np.vstack([steps, steps[-1:]])
    sizes = np.maximum(np.hypot(*steps.T), 1e-6)
    normal = np.column_stack([-steps[:, 1], steps[:, 0]]) / sizes[:, None]
    gone = _lengths(track, False)
    width = half * rng.uniform(0.8, 1.2, len(track)) + along * np.exp(-gone / 4.0)
    left, right = track - normal * width[:, None], track + normal * width[:, None]
    edge = np.vstack([left, right[::-1]])
    return edge + rng.normal(0, 0.7, edge.shape)


def _anywhere(rng: np.random.Generator, face: Face, low: float = 0.0) -> np.ndarray:
    return np.array(
        [rng.uniform(0.03, 0.97) * face.width, rng.uniform(max(low, 0.05), 0.95) * face.height]
    )


def _lengths(path: np.ndarray, is_closed: bool) -> np.ndarray:
    corners = np.vstack([path, path[:1]]) if is_closed else path
    steps = corners[1:] - corners[:-1]
    return np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))])


def _shares(flow: np.ndarray) -> np.ndarray:
    total = flow.sum()
    return flow / total if total > 0 else np.full(len(flow), 1 / len(flow))
