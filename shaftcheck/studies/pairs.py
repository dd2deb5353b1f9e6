"""Two oars of a pair, and where to take wood off one of them until they are alike, as batches of shaved shafts."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

import numpy as np

from shaftcheck import sections
from shaftcheck.checks.scarf_build import Scarf, tips
from shaftcheck.engine import run
from shaftcheck.frozen import frozen
from shaftcheck.loads import loaded
from shaftcheck.model import Array, Bools, Hinged, OnePiece, Shaft, Station, map_arrays, number
from shaftcheck.movement import give
from shaftcheck.whole import whole

__all__ = [
    "ALIKE",
    "Correction",
    "Figures",
    "Shave",
    "Zone",
    "apart",
    "bounded",
    "figures",
    "found",
    "searched",
    "shaved",
    "uses_of",
    "zones",
]

ALIKE = {"weight": 0.03, "balance": 0.010, "sag": 0.05}
"""differences up to these are none: parts of the mean, balance in metres (judgement)"""
PULL = 98.0665
"""weight of 10 kg, hung for the sag [N] (by definition)"""
HAND = 0.1
"""a hand's width: how near to lock or cradles a taper may come [m] (judgement)"""
BLOCK = 64
"""pairs at once, so that memory stays bounded"""


@frozen
class Correction:
    """What was measured of an oar over what is computed of it; 1 and 0 where it was not measured."""

    mass: float = 1.0
    balance: float = 0.0
    """measured less computed [m]"""
    sag: float = 1.0


@frozen
class Figures:
    """What two oars are compared by, arrays of one shape."""

    mass: Array
    """[kg]"""
    balance: Array
    """[m]"""
    sag: Array
    """of the place asked for under 10 kg, hand held down and resting on the lock; in a hinged rig clamped [m]"""


@frozen
class Zone:
    """Stations in a row that are taken down together, tapering out to the stations beside them."""

    first: int
    last: int


@frozen
class Shave:
    """What is taken off one oar."""

    oar: int
    zone: Zone
    depth: float
    """fore and aft, half of it from each face [m]"""
    width: float
    """up and down, half of it from each face [m]"""


def figures(shaft: Shaft, at: Array, c: Correction) -> Figures:
    """Return weight, balance and sag at a place, corrected by what was measured."""
    w, g = whole(shaft), give(shaft, at=np.broadcast_to(at, np.shape(shaft.length)))
    return Figures(mass=w.mass * c.mass, balance=w.balance + c.balance, sag=g.held * PULL * c.sag)


def apart(a: Figures, b: Figures) -> Array:
    """Return how far apart two oars are, by what is farthest: at most 1 where they are alike."""
    weight = np.abs(a.mass - b.mass) / (ALIKE["weight"] * (a.mass + b.mass) / 2.0)
    balance = np.abs(a.balance - b.balance) / ALIKE["balance"]
    sag = np.abs(a.sag - b.sag) / (ALIKE["sag"] * (a.sag + b.sag) / 2.0)
    return np.asarray(np.maximum(np.maximum(weight, balance), sag))


def _held(shaft: Shaft) -> tuple[float, float]:
    """Return the stretch that lock or cradles hold [m]."""
    rig = shaft.rig
    if isinstance(rig, Hinged):
        return float(rig.inner_from), float(rig.outer_to)
    half = float(rig.seat) / 2.0
    return float(rig.lock) - half, float(rig.lock) + half


def bounded(shaft: Shaft) -> tuple[Shaft, tuple[int, ...]]:
    """Return a single shaft with a station a hand's width either side of lock or cradles, so that tapers end there.

    None is put in within a hand's width of another, or between two of unlike shape. The second value is the index of
    those that were put in.
    """
    low, high = _held(shaft)
    stations = list(shaft.stations)
    for x in (low - HAND, high + HAND):
        k = next((i for i, s in enumerate(stations) if float(s.x) > x), len(stations))
        if not 0 < k < len(stations) or min(abs(float(s.x) - x) for s in stations) < HAND:
            continue
        if float(stations[k - 1].exponent) != float(stations[k].exponent):
            continue
        depth, width, exponent, wall = (v[0, 0] for v in sections.at(np.array([[x]]), shaft.stations))
        new = Station(x=number(x), depth=depth, width=width, exponent=exponent, wall=wall)
        stations.insert(k, new)
    put_in = tuple(i for i, s in enumerate(stations) if not any(s is old for old in shaft.stations))
    return replace(shaft, stations=tuple(stations)), put_in


def zones(shaft: Shaft) -> tuple[Zone, ...]:
    """Return the rows of stations that may be taken down: clear of hand, lock or cradles, and of joints that fit.

    Where the wood tapers out, between a zone's ends and the stations beside them, none of those may lie either.
    """
    x = [float(s.x) for s in shaft.stations]
    hand, neck = float(shaft.rig.hand), float(shaft.blade.neck)
    kept = [_held(shaft), *((float(j.start), float(j.end)) for j in shaft.joints if j.kind != "scarf")]
    out = []
    for i in range(len(x)):
        for k in range(i, len(x)):
            low, high = x[max(i - 1, 0)], x[min(k + 1, len(x) - 1)]
            clear = not any(low < b and a < high for a, b in kept)
            if clear and x[i] > hand and x[k] <= neck + 1e-9:
                out.append(Zone(first=i, last=k))
    return tuple(out)


def shaved(shaft: Shaft, first: Array, last: Array, depth: Array, width: Array) -> Shaft:
    """Return a batch of one shaft with its stations from first to last taken down, arrays (n,)."""
    wide = np.shape(first)
    batch = map_arrays(lambda a: np.broadcast_to(a, wide), shaft)
    stations = tuple(
        replace(s, depth=s.depth - np.where(there, depth, 0.0), width=s.width - np.where(there, width, 0.0))
        for k, s in enumerate(batch.stations)
        for there in [(first <= k) & (k <= last)]
    )
    joints = []
    for j in batch.joints:
        if isinstance(j, Scarf):
            start, end = tips(j.middle, j.slope, j.through_depth, stations)
            j = replace(j, start=start, end=end)
        joints.append(j)
    return replace(batch, stations=stations, joints=tuple(joints))


def uses_of(shaft: Shaft, own: float) -> dict[str, tuple[Array, Bools]]:
    """Return the worst known use of each check, and whether all of it is known, by name; arrays of the batch shape."""
    out: dict[str, tuple[Array, Bools]] = {}
    for r in run(loaded(shaft, number(own)), rounds=2):
        use, known = out.get(r.check, (r.use, r.known))
        out[r.check] = np.fmax(use, r.use), known & r.known
    return out


@frozen
class _Tried:
    """All candidates of one oar, arrays (n,)."""

    oar: int
    first: Array
    last: Array
    depth: Array
    width: Array
    apart: Array
    """of the pair, with this oar taken down"""
    removed: Array
    """[kg]"""


def _amounts(step: float, most: float) -> list[float]:
    return [k * step for k in range(int(most / step + 1e-9) + 1)]


def _hollowed(shaft: Shaft, first: Array, last: Array, depth: Array, width: Array) -> Bools:
    """Return whether a candidate makes a hollow in the curve: a size less than at both stations beside it, (n,)."""
    index = np.arange(len(shaft.stations))
    there = (first[:, None] <= index) & (index <= last[:, None])
    out = np.zeros(len(first), dtype=bool)
    for sizes, cut in ((np.array([float(s.depth) for s in shaft.stations]), depth),
                       (np.array([float(s.width) for s in shaft.stations]), width)):  # fmt: skip
        then = sizes - np.where(there, cut[:, None], 0.0)
        low = np.minimum(then[:, :-2], then[:, 2:])
        was = sizes[1:-1] < np.minimum(sizes[:-2], sizes[2:]) - 1e-9
        out |= ((then[:, 1:-1] < low - 1e-9) & ~was).any(axis=-1)
    return out


def _try(
    oar: int, shafts: Sequence[Shaft], at: Array, corrections: Sequence[Correction], step: float, most: float
) -> _Tried:
    z = zones(shafts[oar])
    amounts = [(k, d, w) for k in z for d in _amounts(step, most) for w in _amounts(step, most) if d > 0.0 or w > 0.0]
    first, last, d, w = (
        number(np.array(v))
        for v in (
            [float(k.first) for k, _, _ in amounts],
            [float(k.last) for k, _, _ in amounts],
            [a for _, a, _ in amounts],
            [a for _, _, a in amounts],
        )
    )
    fair = ~_hollowed(shafts[oar], first, last, d, w)
    first, last, d, w = first[fair], last[fair], d[fair], w[fair]
    mate = figures(shafts[1 - oar], at, corrections[1 - oar])
    mine = figures(shafts[oar], at, corrections[oar])
    far, removed = [np.zeros(0)], [np.zeros(0)]
    for i in range(0, len(d), 256):
        part = slice(i, i + 256)
        f = figures(shaved(shafts[oar], first[part], last[part], d[part], w[part]), at, corrections[oar])
        far.append(apart(f, mate))
        removed.append(mine.mass - f.mass)
    return _Tried(
        oar=oar,
        first=first,
        last=last,
        depth=d,
        width=w,
        apart=np.concatenate(far),
        removed=np.concatenate(removed),
    )


def searched(
    shafts: Sequence[Shaft], at: Array, corrections: Sequence[Correction], *, step: float, most: float
) -> list[_Tried]:
    """Return every candidate of both oars, not yet checked for strength.

    Parameters
    ----------
    at : where the sag is read, from the handle end [m]
    step, most : of what is taken off a size, both faces together [m]
    """
    return [_try(k, shafts, at, corrections, step, most) for k in (0, 1)]


def ordered(tried: Sequence[_Tried], now: float) -> Iterator[tuple[int, int]]:
    """Yield oar and index of each candidate that brings the pair nearer, best first.

    Those that make the oars alike come first, least wood taken first; then the others, the nearest first.
    """
    rows = [
        (not t.apart[i] <= 1.0, float(t.removed[i]) if t.apart[i] <= 1.0 else float(t.apart[i]), t.oar, i)
        for t in tried
        for i in np.flatnonzero(t.apart < now)
    ]
    for _, _, oar, i in sorted(rows):
        yield oar, int(i)


def found(
    shafts: Sequence[Shaft],
    own: Sequence[float],
    tried: Sequence[_Tried],
    *,
    now: float,
    most_used: float,
    tick: Callable[[int, int], None] | None = None,
) -> tuple[Shave, dict[str, float]] | None:
    """Return the first candidate that holds and is used no more than told, with the use of each check; or None.

    Parameters
    ----------
    now : how far apart the oars are
    most_used : the use that the oar taken down may come to [-]
    """
    order = list(ordered(tried, now))
    for begin in range(0, len(order), BLOCK):
        block = order[begin : begin + BLOCK]
        good: dict[int, dict[str, float]] = {}
        for oar in (0, 1):
            mine = [n for n, (k, _) in enumerate(block) if k == oar]
            if not mine:
                continue
            t = tried[oar]
            index = np.array([block[n][1] for n in mine])
            batch = shaved(shafts[oar], t.first[index], t.last[index], t.depth[index], t.width[index])
            uses = uses_of(batch, own[oar])
            known = np.logical_and.reduce([k for _, k in uses.values()])
            worst = np.fmax.reduce([u for u, _ in uses.values()])
            for place in np.flatnonzero(known & (worst <= min(most_used, 1.0))):
                good[mine[place]] = {name: float(u[place]) for name, (u, _) in uses.items()}
        if tick is not None:
            tick(begin + len(block), len(order))
        if good:
            n = min(good)
            oar, i = block[n]
            t = tried[oar]
            zone = Zone(first=int(t.first[i]), last=int(t.last[i]))
            return Shave(oar=oar, zone=zone, depth=float(t.depth[i]), width=float(t.width[i])), good[n]
    return None


def one_piece(shaft: Shaft) -> bool:
    """Return whether an oar works in a lock."""
    return isinstance(shaft.rig, OnePiece)
