"""Whether the pieces of an oar go into a locker: lying flat, on its diagonal, and through its hatch.

Each piece is a stiff bar as long as it is, as wide and as thick as its greatest sizes all along; the locker is an empty
box with sharp inside edges. That asks for a little more room than the real piece does. All lengths in m; a length that
is too great by this geometry may still go in by a turn that is not tried here.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import permutations
from typing import Literal

import numpy as np

from shaftcheck.checks import JOINTS
from shaftcheck.checks.joint import Apart
from shaftcheck.formula import Sym, formula
from shaftcheck.frozen import frozen
from shaftcheck.model import Array, Hinged, Shaft, number

__all__ = ["Bar", "Locker", "Lying", "bars", "leaning", "lies", "tilted", "together"]


@frozen
class Locker:
    """Inside sizes of a locker and its hatch [m]; nan where not known."""

    length: float
    width: float
    height: float
    hatch: str
    """top open (all of it), top, side or end; empty where not known"""
    hatch_length: float
    """of the opening: along the locker's length; of one in the end, up and down"""
    hatch_width: float
    """of the opening, the other way"""
    beyond: float
    """from the hatch's edge at which a piece's tail goes in last to the locker's far end"""


@frozen
class Bar:
    """A piece as it is stowed [m]."""

    name: str
    length: float
    wide: float
    thick: float
    loose: bool = False
    """whether it is a sleeve that may be drawn over any of them"""


@frozen
class Lying:
    """How a bar lies in a locker."""

    way: Literal["flat", "on the diagonal", ""]
    """empty where it does not go in"""
    longest: float
    """the longest bar of its width and thickness that would lie so, or at all where it does not; 0 where none would"""


@formula(
    Sym("q", "m", "least width of the rectangle"),
    "rectangle in a rectangle, Carver (1957) in Wetzel, Mathematics Magazine 73 (2000) 204-211 (from memory)",
    p=Sym("p", "m", "the rectangle's length, less than the bar's", low=0.0),
    l=Sym("l", "m", "length of the bar", low=0.0),
    c=Sym("c", "m", "width of the bar, at most its length", low=0.0),
)
def tilted(*, p: Array, l: Array, c: Array) -> Array:  # noqa: E741
    """Least width of a rectangle in which a bar longer than it lies tilted."""
    return (2 * p * l * c + (l * l - c * c) * np.sqrt(l * l + c * c - p * p)) / (l * l + c * c)


@formula(
    Sym("u", "", "cosine with the line from wall to wall"),
    "l u + d sqrt(1 - u^2) = D, a leaning round bar between two parallel walls (derived)",
    D=Sym("D", "m", "between the walls, less than sqrt(l^2 + d^2)", low=0.0),
    l=Sym("l", "m", "length of the bar", low=0.0),
    d=Sym("d", "m", "thickness of the bar", low=0.0),
)
def leaning(*, D: Array, l: Array, d: Array) -> Array:  # noqa: E741
    """How steeply a bar can lean between two walls."""
    return (l * D - d * np.sqrt(l * l + d * d - D * D)) / (l * l + d * d)


def bars(shaft: Shaft) -> tuple[Bar, ...]:
    """Return the pieces that a single shaft comes apart into, from the handle end on.

    The blade is taken as thick as the shaft that carries it.
    """
    length = float(shaft.length)
    cuts: list[Apart] = []
    if isinstance(shaft.rig, Hinged):
        saw, restart = float(shaft.rig.saw), float(shaft.rig.restart)
        cuts.append(Apart(inner_end=saw, outer_start=restart, on_inner=0.0, on_outer=0.0, loose=None))
    for j in shaft.joints:
        apart = JOINTS[j.kind].apart
        if apart is not None:
            cuts.append(apart(j))
    cuts.sort(key=lambda c: c.outer_start)
    starts = [(0.0, 0.0), *((c.outer_start, c.on_outer) for c in cuts)]
    ends = [*((c.inner_end, c.on_inner) for c in cuts), (length, 0.0)]
    names = ["inner half", "outer half"] if len(cuts) == 1 else [f"piece {i + 1}" for i in range(len(cuts) + 1)]
    out = []
    for name, (start, tube_a), (end, tube_b) in zip(names if cuts else ["oar"], starts, ends, strict=True):
        deep, wide = _sizes(shaft, start, end)
        tube = max(tube_a, tube_b)
        blade = float(shaft.blade.width) if end > float(shaft.blade.neck) else 0.0
        out.append(Bar(name=name, length=end - start, wide=max(wide, tube, blade), thick=max(deep, tube)))
    loose = (c.loose for c in cuts if c.loose is not None)
    return (*out, *(Bar(name=name, length=long, wide=across, thick=across, loose=True) for name, long, across in loose))


def _sizes(shaft: Shaft, start: float, end: float) -> tuple[float, float]:
    """Return the greatest fore-and-aft and up-and-down size of a stretch of the shaft."""
    x = np.array([start, *(float(s.x) for s in shaft.stations if start < float(s.x) < end), end])
    at = [float(s.x) for s in shaft.stations]
    deep, wide = (np.interp(x, at, [float(getattr(s, n)) for s in shaft.stations]) for n in ("depth", "width"))
    return float(deep.max()), float(wide.max())


def _longest(fits: Callable[[float], bool], least: float, most: float) -> float:
    """Return the greatest length that fits; shorter ones fit too."""
    if not fits(least):
        return 0.0
    low, high = least, most
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low


def _in_rectangle(length: float, c: float, p: float, q: float) -> bool:
    p, q, length, c = max(p, q), min(p, q), max(length, c), min(length, c)
    if c > q:
        return False
    return length <= p or bool(tilted(p=number(p), l=number(length), c=number(c)) <= q)


def _in_space(length: float, d: float, box: Sequence[float]) -> bool:
    """Return whether a round bar of that thickness lies in a box in some direction."""
    if min(box) < d:
        return False
    reach = np.hypot(length, d)
    steep = [1.0 if reach <= s else float(leaning(D=number(s), l=number(length), d=number(d))) for s in box]
    return sum(u * u for u in steep) >= 1.0


def lies(bar: Bar, locker: Locker) -> Lying:
    """Return how a bar lies in a locker, and the longest of its kind that would."""
    if locker.hatch == "top open":
        return _open(bar, locker)
    if locker.hatch == "end":
        return _through_the_end(bar, locker)
    return _through_the_top(bar, locker)


def _open(bar: Bar, locker: Locker) -> Lying:
    box = (locker.length, locker.width, locker.height)
    flat = diagonal = 0.0
    for along, a, b in permutations(range(3)):
        if bar.wide <= box[a] and bar.thick <= box[b]:
            flat = max(flat, box[along])
    reach = float(np.linalg.norm(box))
    sections = ((bar.wide, bar.thick), (bar.thick, bar.wide))
    for square in range(3):
        p, q = (s for i, s in enumerate(box) if i != square)
        for within, across in sections:
            if across <= box[square]:
                fits = lambda v, c=within, p=p, q=q: _in_rectangle(v, c, p, q)  # noqa: E731
                diagonal = max(diagonal, _longest(fits, within, reach))
    round_ = float(np.hypot(bar.wide, bar.thick))
    diagonal = max(diagonal, _longest(lambda v: _in_space(v, round_, box), 0.0, reach))
    return _lying(bar, flat, diagonal)


def _through_the_end(bar: Bar, locker: Locker) -> Lying:
    """Slid straight in; no tilt is tried."""
    goes = any(
        w <= min(locker.width, locker.hatch_width) and t <= min(locker.height, locker.hatch_length)
        for w, t in ((bar.wide, bar.thick), (bar.thick, bar.wide))
    )
    return _lying(bar, locker.length if goes else 0.0, 0.0)


def _through_the_top(bar: Bar, locker: Locker) -> Lying:
    """Slid in along the locker's length over the hatch's edge, its end on the floor, until its tail drops in.

    In the side, the same with width and height changed about.
    """
    deep, broad = (locker.height, locker.width) if locker.hatch == "top" else (locker.width, locker.height)

    def goes(length: float, across: float, t: float) -> bool:
        if across > min(locker.hatch_width, broad) or t > deep:
            return False
        return _held_off(length, t, deep, locker) or _along_the_edge(length, t, deep, locker)

    flat = diagonal = 0.0
    for across, t in ((bar.wide, bar.thick), (bar.thick, bar.wide)):
        most = float(np.hypot(locker.length, deep))
        slant = _longest(lambda v, a=across, t=t: goes(v, a, t), t, most)  # type: ignore[misc]
        diagonal = max(diagonal, slant)
        laid = float(np.sqrt(max(locker.length**2 - t * t, 0.0)))  # it turns to lie down
        flat = max(flat, min(slant, laid))
    return _lying(bar, flat, diagonal)


def _held_off(length: float, t: float, deep: float, locker: Locker) -> bool:
    """Return whether a bar goes in whose lower edge keeps one thickness clear of the hatch's edge.

    That is more than the dropping tail moves back. The further in, the flatter; last, sin a = height / length.
    """
    sine = min(deep / length, 1.0)
    reach = length * float(np.sqrt(1.0 - sine * sine)) + t * (1.0 + sine)
    return t * (1.0 + 1.0 / sine) <= locker.hatch_length and reach <= locker.beyond


def _along_the_edge(length: float, t: float, deep: float, locker: Locker) -> bool:
    """Return whether a bar goes in that slides on the hatch's edge itself, its tail then let straight down.

    From sin a = height / length, all of its lower edge in, to length sin a + t cos a = height, all of it in.
    """
    reach, turn = float(np.hypot(length, t)), float(np.arctan2(t, length))
    if length <= deep:
        return False
    first, last = float(np.arcsin(deep / length)), float(np.arcsin(deep / reach)) - turn
    if deep * float(np.cos(first)) < t:  # its upper edge would come nearer to the hatch's far edge as it drops
        return False
    furthest = reach * float(np.cos(min(max(turn, last), first) - turn))
    return t * length / deep <= locker.hatch_length and furthest <= locker.beyond


def _lying(bar: Bar, flat: float, diagonal: float) -> Lying:
    flat, diagonal = (v if v >= max(bar.wide, bar.thick) else 0.0 for v in (flat, diagonal))
    if bar.length <= flat:
        return Lying(way="flat", longest=flat)
    return Lying(way="on the diagonal" if bar.length <= diagonal else "", longest=max(flat, diagonal))


def together(pieces: Sequence[Bar], locker: Locker) -> bool:
    """Return whether all lie flat along the locker's length at once, side by side or one on the other.

    A loose sleeve finds its own place.
    """

    def row(along: float, across: float) -> bool:
        sizes = [[a for a, b in ((p.wide, p.thick), (p.thick, p.wide)) if b <= across] for p in pieces if not p.loose]
        return all(sizes) and sum(min(s) for s in sizes) <= along

    long_enough = all(p.length <= locker.length for p in pieces)
    return long_enough and (row(locker.width, locker.height) or row(locker.height, locker.width))
