"""Where a shaft changes at once: solid wood ends inside a hollow shaft, or a steep shoulder has its foot.

There the fibres' stress gathers as beside the mouth of a sleeve, and the shaft breaks there first.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.compare import Use
from shaftcheck.checks.net import net_names
from shaftcheck.checks.plug import beside
from shaftcheck.frozen import frozen
from shaftcheck.model import Array, Bools, Hinged, Rig, Shaft, Station, number
from shaftcheck.sections import STEEP, at, slope, wall_steps

__all__ = ["FEET", "Place", "declared", "ends", "feet", "places", "solid_ends"]

FEET: dict[str, float] = {"sloping": 1.25, "abrupt": 1.5}
"""what the foot of a shoulder steeper than 1:6 raises the wood's bending stress by on the smaller section: one that
falls no steeper than 1:1, and a steeper one; as the mouth of a sleeve does (judgement)"""
EVEN = 1.0
"""a shoulder that is steeper is abrupt: 1:1 (judgement) [-]"""
NEAR = 1e-9
"""how far beside an end its comparison stands; less than that apart, two places are one [m]"""
SOLID, FOOT = "beside the solid wood", "at a shoulder's foot"


@frozen
class Place:
    """Where the section changes at once; arrays of the batch shape."""

    x: Array
    """just beyond it, on the lesser section [m]"""
    there: Bools
    """whether it is there"""
    raiser: Array
    """what it raises the bending stress by [-]"""


def _at_the_cut(rig: Rig, start: Array, end: Array) -> Bools | bool:
    """Return whether a change lies where the shaft is sawn through: nothing passes there."""
    if not isinstance(rig, Hinged):
        return False
    return np.asarray((start >= rig.saw - NEAR) & (end <= rig.restart + NEAR))


def solid_ends(stations: tuple[Station, ...], rig: Rig, raiser: Array) -> tuple[Place, ...]:
    """Return where solid wood ends inside a hollow shaft, as the sections tell it; a plug's own end is not among them.

    Between a solid and a hollow section the shaft is taken as hollow, so the end is at the solid one. A wall that steps
    from thick to thin, its bore steeper than 1:6, ends so too, at the thin one.

    Parameters
    ----------
    raiser : what such an end raises the bending stress by [-]
    """
    out = []
    for a, b in pairwise(stations):
        before, after = np.isinf(a.wall), np.isinf(b.wall)
        steps = wall_steps(a, b)
        before = np.where(steps, a.wall > b.wall, before)
        x = np.where(before != steps, a.x, b.x)
        there = (steps | (np.isinf(a.wall) != after)) & ~np.asarray(_at_the_cut(rig, x, x))
        if isinstance(rig, Hinged):
            for plug in (rig.inner_plug, rig.outer_plug):
                there = there & ~(np.abs(x - plug) < NEAR)  # a plug that is not there is nan, and near to nothing
        out.append(Place(x=x + np.where(before, NEAR, -NEAR), there=there, raiser=raiser))
    return tuple(p for p in out if np.any(p.there))


def feet(stations: tuple[Station, ...], rig: Rig) -> tuple[Place, ...]:
    """Return the feet of shoulders steeper than 1:6, where the smaller section begins."""
    out = []
    for a, b in pairwise(stations):
        fall = slope(a, b)
        raiser = np.where(fall <= EVEN, FEET["sloping"], FEET["abrupt"])
        steep = (fall > STEEP) & ~np.asarray(_at_the_cut(rig, a.x, b.x))
        falls, rises = (
            (p.depth < q.depth) | (p.width < q.width) | (p.exponent < q.exponent) for p, q in ((b, a), (a, b))
        )
        out.append(Place(x=b.x + NEAR, there=steep & falls, raiser=raiser))
        out.append(Place(x=a.x - NEAR, there=steep & rises, raiser=raiser))
    return tuple(p for p in out if np.any(p.there))


def _all(shaft: Shaft) -> dict[str, tuple[Place, ...]]:
    return {
        SOLID: solid_ends(shaft.stations, shaft.rig, shaft.solid_raiser),
        FOOT: feet(shaft.stations, shaft.rig),
    }


def places(shaft: Shaft) -> tuple[Place, ...]:
    """Return all places where the section changes at once."""
    return tuple(p for found in _all(shaft).values() for p in found)


def _halves(rig: Rig) -> tuple[tuple[str, bool], ...]:
    """Return by what the names of a shaft's parts begin, and whether a push along the shaft comes there."""
    return (("inner half, ", False), ("outer half, ", True)) if isinstance(rig, Hinged) else (("", True),)


def declared(shaft: Shaft) -> tuple[str, ...]:
    """Return the comparisons where a shaft changes at once, by name; none where it does not."""
    return tuple(
        name
        for what, found in _all(shaft).items()
        if found
        for half, pressed in _halves(shaft.rig)
        for name in net_names(half + what, pressed=pressed)
    )


_SOURCES = {
    SOLID: (
        "stress of the hollow shaft times what the end of the solid wood, or of a thicker wall, raises: 1.5 square, "
        "1.25 tapered (judgement)",
        "solid_ends",
    ),
    FOOT: (
        "stress of the smaller section times what the shoulder's foot raises: 1.25 where it falls no steeper than 1:1, "
        "1.5 where it does (judgement)",
        "",
    ),
}


def ends(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Yield bending just beyond each place where the section changes at once, its limit over what that raises."""
    shaft, rig = beam.shaft, beam.shaft.rig
    found = _all(shaft)
    for what, other in ((SOLID, FOOT), (FOOT, SOLID)):
        if not found[what]:
            continue
        x, there, raiser = _lifted(found[what])
        raiser = raiser * _company(shaft, x, found[other])
        source, unknown = _SOURCES[what]
        crowded = _crowded(shaft, x) if what == FOOT else False
        for half, pressed in _halves(rig):
            here = there
            if isinstance(rig, Hinged):
                outer: Bools = x >= rig.restart[..., None, None]
                here = there & (outer if pressed else np.logical_not(outer))
            for u in beside(beam, x, here, half + what, raiser, pressed=pressed, source=source, unknown=unknown):
                yield (
                    u
                    if not np.any(crowded)
                    else replace(
                        u,
                        use=np.where(crowded & here, np.nan, u.use),
                        unknown=f"{u.unknown}; or no steep shoulder in a joint or a cradle, nor a depth beside it",
                    )
                )


def _lifted(found: tuple[Place, ...]) -> tuple[Array, Bools, Array]:
    """Return place, whether it is there and raiser, each (..., 1, places)."""
    rows = zip(*(np.broadcast_arrays(p.x, p.there, p.raiser) for p in found), strict=True)
    x, there, raiser = (np.stack(np.broadcast_arrays(*row), axis=-1)[..., None, :] for row in rows)
    return x, there.astype(bool), raiser


def _crowded(shaft: Shaft, x: Array) -> Bools:
    """Return where a place is in a joint or a cradle, or within the shaft's greater size of one: outside the method."""
    lift = (..., None, None)
    depth, width, _, _ = at(x, shaft.stations)
    reach = np.maximum(depth, width)
    spans = [(j.start, j.end) for j in shaft.joints]
    if isinstance(shaft.rig, Hinged):
        spans += [(shaft.rig.inner_from, shaft.rig.inner_to), (shaft.rig.outer_from, shaft.rig.outer_to)]
    out: Bools = np.zeros(x.shape, dtype=bool)
    for start, end in spans:
        out = out | ((x >= start[lift] - reach) & (x <= end[lift] + reach))
    return out


def _company(shaft: Shaft, x: Array, others: tuple[Place, ...]) -> Array:
    """Return what changes of the other kind within the shaft's greater size raise besides, of x's shape [-].

    So far the unrest of one reaches (Saint-Venant; the figure is judgement).
    """
    worst = number(1.0) + 0.0 * x
    if not others:
        return worst
    depth, width, _, _ = at(x, shaft.stations)
    reach = np.maximum(depth, width)
    for p in others:
        near = p.there[..., None, None] & (np.abs(x - p.x[..., None, None]) <= reach)
        worst = np.where(near, np.maximum(worst, p.raiser[..., None, None]), worst)
    return worst
