"""A broken oar: which end to keep, where a scarf to a new piece may lie, and what plank makes it like its mate."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Literal

import numpy as np

from shaftcheck.beam import density
from shaftcheck.checks.scarf_build import KERF, Scarf, tips
from shaftcheck.engine import run
from shaftcheck.frozen import frozen
from shaftcheck.loads import loaded
from shaftcheck.model import Array, Bools, Hinged, Piece, Shaft, Wood, map_arrays, number
from shaftcheck.studies.pairs import ALIKE, Correction, Figures, figures

__all__ = [
    "SIDES",
    "SLOPES",
    "Break",
    "New",
    "Range",
    "Scarfs",
    "Side",
    "as_measured",
    "batches",
    "half_of",
    "mended",
    "plank_range",
    "scarfs",
    "sound",
    "tried",
]

Side = Literal["inner", "outer"]
SIDES: tuple[Side, ...] = ("inner", "outer")
"""which end is kept"""
SLOPES = (8.0, 10.0, 12.0, 14.0, 16.0, 20.0)
"""lengths over one of depth that are tried: 1:8 is the steepest that the published factors reach, and flatter than
1:20 gains nothing by them (judgement) [-]"""
BEYOND = 2.0
"""depths of wood that go with the damage seen: creases run on where no eye sees them (judgement) [-]"""
BELIEVED_WEIGHT, BELIEVED_STIFF = (0.80, 1.25), (0.64, 1.50)
"""parts of its wood's table mean within which a plank is asked for: about two standard deviations each way by the
scatter of Wood Handbook Table 5-6, 10 % of weight and 22 % of stiffness (judgement) [-]"""
STEP = 0.010
"""between two middles of a scarf (judgement) [m]"""
BLOCK = 128
"""mended shafts that are checked at once, so that memory stays bounded"""
_EPS = 1e-9
"""rounding [m]"""


@frozen
class Break:
    """What is not sound, from the handle end."""

    low: float
    """where the damage that was seen begins [m]"""
    high: float
    """where it ends [m]"""


@frozen
class Scarfs:
    """Candidates for one kept end, arrays (n,)."""

    side: Side
    middle: Array
    slope: Array
    through_depth: Array
    """1 cut through fore and aft, 0 up and down"""
    face: Array
    """of the outer wood's feather edge: 1 aft or lower, -1 forward or upper"""
    start: Array
    end: Array

    def take(self, index: Sequence[int]) -> Scarfs:
        """Return some of them."""
        i = np.asarray(index, dtype=np.intp)
        return Scarfs(
            side=self.side,
            middle=self.middle[i],
            slope=self.slope[i],
            through_depth=self.through_depth[i],
            face=self.face[i],
            start=self.start[i],
            end=self.end[i],
        )


def half_of(shaft: Shaft, x: float) -> tuple[float, float]:
    """Return the stick that a place is on: the whole shaft, or one half of a hinged rig; its ends [m]."""
    if not isinstance(shaft.rig, Hinged):
        return 0.0, float(shaft.length)
    saw = float(shaft.rig.saw)
    return (0.0, saw) if x <= saw else (saw, float(shaft.length))


def sound(shaft: Shaft, broken: Break) -> tuple[float, float]:
    """Return where sound wood ends before the break and begins beyond it, the unseen creases allowed for [m]."""

    def deep(x: float) -> float:
        from shaftcheck import sections

        depth, width, _, _ = sections.at(np.array([[x]]), shaft.stations)
        return float(np.maximum(depth, width)[0, 0])

    return broken.low - BEYOND * deep(broken.low), broken.high + BEYOND * deep(broken.high)


def scarfs(shaft: Shaft, side: Side, broken: Break) -> Scarfs:
    """Return every scarf that lies whole in sound wood of the kept end, (n,)."""
    low, high = sound(shaft, broken)
    first, last = half_of(shaft, (broken.low + broken.high) / 2.0)
    from_, to = (first, low) if side == "inner" else (high, min(last, float(shaft.blade.neck)))
    middles = np.arange(np.ceil((from_ + _EPS) / STEP), np.floor(to / STEP) + 1.0) * STEP
    grid = np.meshgrid(middles, 1.0 / np.array(SLOPES), [1.0, 0.0], [-1.0, 1.0], indexing="ij")
    middle, slope, through, face = (number(g.ravel()) for g in grid)
    if not len(middle):
        return Scarfs(side=side, middle=middle, slope=slope, through_depth=through, face=face, start=middle, end=middle)
    wide = map_arrays(lambda a: np.broadcast_to(a, middle.shape), shaft.stations)
    start, end = tips(middle, slope, through, wide)
    fits = np.flatnonzero((start > from_) & (end < to))
    all_of = Scarfs(side=side, middle=middle, slope=slope, through_depth=through, face=face, start=start, end=end)
    return all_of.take(list(fits))


@frozen
class _MakeUp:
    """What of the old shaft is left, by index."""

    left: tuple[int, ...]
    right: tuple[int, ...]
    joints: tuple[int, ...]
    flaws: tuple[int, ...]


def _make_up(
    shaft: Shaft, side: Side, stick: tuple[float, float], middle: float, start: float, end: float
) -> _MakeUp | None:
    """Return what is left with a scarf from start to end; None where it would meet a joint that is there."""
    a, b = (start, stick[1]) if side == "inner" else (stick[0], end)
    new_from, new_to = (middle, stick[1]) if side == "inner" else (stick[0], middle)
    joints = []
    for i, j in enumerate(shaft.joints):
        low, high = float(j.start), float(j.end)
        if low < end and high > start:
            return None
        if high <= a + _EPS or low >= b - _EPS:
            joints.append(i)
    flaws = []
    for i, f in enumerate(shaft.flaws):
        gone = float(f.start) >= end if side == "inner" else float(f.end) <= start
        inside = float(f.start) >= a - _EPS and float(f.end) <= b + _EPS
        if not (gone and inside):
            flaws.append(i)
    return _MakeUp(
        left=tuple(i for i, p in enumerate(shaft.pieces) if float(p.start) < new_from - _EPS),
        right=tuple(i for i, p in enumerate(shaft.pieces) if float(p.end) > new_to + _EPS),
        joints=tuple(joints),
        flaws=tuple(flaws),
    )


def batches(shaft: Shaft, broken: Break, s: Scarfs) -> Iterator[tuple[_MakeUp, Array]]:
    """Yield the candidates of one make-up each, as indices."""
    stick = half_of(shaft, (broken.low + broken.high) / 2.0)
    groups: dict[tuple[tuple[int, ...], ...], tuple[_MakeUp, list[int]]] = {}
    for i in range(len(s.middle)):
        made = _make_up(shaft, s.side, stick, *(float(v[i]) for v in (s.middle, s.start, s.end)))
        if made is not None:
            key = (made.left, made.right, made.joints, made.flaws)
            groups.setdefault(key, (made, []))[1].append(i)
    for made, index in groups.values():
        yield made, np.array(index)


@frozen
class New:
    """The new piece, arrays (n,) or ()."""

    wood: Wood
    slope: Array
    moisture: Array


def mended(
    shaft: Shaft, broken: Break, s: Scarfs, made: _MakeUp, new: New, *, glue: str, tested: bool, blade_follows: bool
) -> Shaft:
    """Return the batch of mended shafts, (n,), all of one make-up.

    Parameters
    ----------
    tested : whether a sample of the glue line was broken
    blade_follows : whether the blade's weight is that of the wood it is of
    """
    n = s.middle.shape
    stick = half_of(shaft, (broken.low + broken.high) / 2.0)
    batch = map_arrays(lambda a: np.broadcast_to(a, n), shaft)
    fresh = map_arrays(lambda a: np.broadcast_to(a, n), Piece(
        start=number(stick[0]), end=number(stick[1]), wood=new.wood, slope=new.slope, moisture=new.moisture
    ))  # fmt: skip
    inner = s.side == "inner"
    fresh = replace(fresh, start=s.middle) if inner else replace(fresh, end=s.middle)
    left = [batch.pieces[i] for i in made.left]
    right = [batch.pieces[i] for i in made.right]
    if left:
        left[-1] = replace(left[-1], end=fresh.start)
    if right:
        right[0] = replace(right[0], start=fresh.end)
    pieces = (*left, fresh, *right)
    scarf = Scarf(
        kind="scarf",
        start=s.start,
        end=s.end,
        middle=s.middle,
        slope=s.slope,
        through_depth=s.through_depth,
        face=s.face,
        glue=glue,
        sample_broken=tested,
        blank=np.full(n, np.nan),
        kerf=np.full(n, KERF),
    )
    joints = sorted((*(batch.joints[i] for i in made.joints), scarf), key=lambda j: float(np.min(j.start)))
    mass = batch.blade.mass
    if blade_follows:
        mass = mass * density(pieces[-1]) / density(batch.pieces[-1])
    return replace(
        batch,
        pieces=pieces,
        joints=tuple(joints),
        flaws=tuple(batch.flaws[i] for i in made.flaws),
        blade=replace(batch.blade, mass=mass),
    )


def tried(
    shaft: Shaft,
    broken: Break,
    s: Scarfs,
    new: New,
    own: float,
    *,
    glue: str,
    tested: bool,
    blade_follows: bool,
    rounds: int = 0,
    tick: Callable[[int, int], None] | None = None,
) -> tuple[Array, Bools, list[dict[str, float]]]:
    """Return the worst known use of each candidate, whether all of it is known, each (n,), and its uses by check.

    The uses are kept where it is looked at closely, with rounds. A scarf that would meet a joint that is there is
    beyond any limit.
    """
    n = len(s.middle)
    worst, known = np.full(n, np.inf), np.ones(n, dtype=bool)
    uses: list[dict[str, float]] = [{} for _ in range(n)]
    done = 0
    for made, group in batches(shaft, broken, s):
        for begin in range(0, len(group), BLOCK):
            index = [int(i) for i in group[begin : begin + BLOCK]]
            batch = mended(
                shaft, broken, s.take(index), made, new, glue=glue, tested=tested, blade_follows=blade_follows
            )
            top = np.zeros(len(index))
            for r in run(loaded(batch, number(own)), rounds=rounds):
                top = np.fmax(top, r.use)
                known[index] &= r.known
                for place, i in enumerate(index if rounds else ()):
                    uses[i][r.check] = float(np.fmax(uses[i].get(r.check, np.nan), r.use[place]))
            worst[index] = top
            done += len(index)
            if tick is not None:
                tick(done, n)
    return worst, known, uses


def as_measured(shaft: Shaft, c: Correction) -> Shaft:
    """Return a shaft whose woods weigh and give as the oar was measured to, for its figures alone."""

    def piece(p: Piece) -> Piece:
        stiff = np.where(np.isnan(p.wood.measured_stiffness), p.wood.dry.stiffness, p.wood.measured_stiffness)
        return replace(p, wood=replace(p.wood, gravity=p.wood.gravity * c.mass, measured_stiffness=stiff / c.sag))

    return replace(
        shaft,
        pieces=tuple(piece(p) for p in shaft.pieces),
        blade=replace(shaft.blade, mass=shaft.blade.mass * c.mass),
    )


@frozen
class Range:
    """Which new piece makes the mended oar like its mate; low above high where none does."""

    gravity: tuple[float, float]
    """at 12 % [-]"""
    stiffness: tuple[float, float]
    """at 12 %, on the table's basis [Pa]"""


def _between(a: float, b: float, low: float, high: float) -> tuple[float, float]:
    """Return where a + b v lies within low and high."""
    if abs(b) < 1e-12 * max(abs(a), 1e-12):
        return (-np.inf, np.inf) if low <= a <= high else (np.inf, -np.inf)
    ends = sorted(((low - a) / b, (high - a) / b))
    return ends[0], ends[1]


def plank_range(build: Callable[[Array, Array], Shaft], mate: Figures, at: Array, shift: float) -> Range:
    """Return the gravities and stiffnesses of the new piece that make the mended oar like its mate.

    Parameters
    ----------
    build : takes gravities and stiffnesses (n,) of the new piece and returns the mended shafts
    shift : added to the balance that is computed [m]
    """
    g, e = np.array([0.3, 0.6, 0.3]), np.array([8e9, 8e9, 16e9])
    f = figures(build(g, e), at, Correction(balance=shift))
    slope = (f.mass[1] - f.mass[0]) / (g[1] - g[0])
    base = f.mass[0] - slope * g[0]
    by = ALIKE["weight"] / 2.0
    low, high = _between(
        float(base), float(slope), float(mate.mass) * (1 - by) / (1 + by), float(mate.mass) * (1 + by) / (1 - by)
    )
    first = f.mass * (f.balance - shift)
    rise = (first[1] - first[0]) / (g[1] - g[0])
    start = first[0] - rise * g[0]
    for sign in (-1.0, 1.0):  # sign (S - edge m) <= 0, straight in g
        edge = float(mate.balance) - shift + sign * ALIKE["balance"]
        a, b = sign * float(start - edge * base), sign * float(rise - edge * slope)
        if b > 0.0:
            high = min(high, -a / b)
        elif b < 0.0:
            low = max(low, -a / b)
    by = ALIKE["sag"] / 2.0
    give = (f.sag[0] - f.sag[2]) / (1.0 / e[0] - 1.0 / e[2])
    rest = f.sag[0] - give / e[0]
    soft = _between(
        float(rest), float(give), float(mate.sag) * (1 - by) / (1 + by), float(mate.sag) * (1 + by) / (1 - by)
    )
    stiff = (1.0 / soft[1] if soft[1] > 0.0 else np.inf, 1.0 / soft[0] if soft[0] > 0.0 else np.inf)
    if soft[1] <= 0.0 or soft[0] > soft[1]:
        stiff = (np.inf, 0.0)
    return Range(gravity=(low, high), stiffness=stiff)
