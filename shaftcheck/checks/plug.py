"""Beside a solid plug in a hollow half: there the shaft goes over from stiff to slack, and breaks there first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, replace
from itertools import pairwise

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.compare import Use
from shaftcheck.checks.net import net_names, net_uses
from shaftcheck.model import Array, Bools, Hinged, Rig, Shaft, Station, number
from shaftcheck.sections import at

__all__ = ["PLUG_ENDS", "beside", "declared", "plugged", "plugs", "solid_reach"]

PLUG_ENDS: dict[str, float] = {"square": 1.5, "tapered": 1.25}
"""what a plug's end raises the wood's bending stress by, as the mouth of a sleeve does (judgement)"""


def plugged(stations: tuple[Station, ...], rig: Rig) -> tuple[Station, ...]:
    """Return the sections with each half solid over its plug, from the cut to the plug's end.

    Parameters
    ----------
    stations : of the hollow shaft, at rising x
    rig : whose plugs are all known or all not there, throughout a batch
    """
    if not isinstance(rig, Hinged):
        return stations
    for start, end in ((rig.inner_plug, rig.saw), (rig.restart, rig.outer_plug)):
        if not bool(np.isnan(start + end).any()):
            stations = _solid(stations, start, end)
    return stations


def _solid(stations: tuple[Station, ...], start: Array, end: Array) -> tuple[Station, ...]:
    """Return the sections solid from start to end: two more at each end, before and after the step of the wall."""
    solid = number(np.inf)
    first, last = (
        Station(x=x, depth=d[..., 0, 0], width=w[..., 0, 0], exponent=n[..., 0, 0], wall=t[..., 0, 0])
        for x, (d, w, n, t) in ((x, at(x[..., None, None], stations)) for x in (start, end))
    )
    ends = (first, replace(first, wall=solid), replace(last, wall=solid), last)
    everywhere = (*stations, *ends)
    names = tuple(f.name for f in fields(Station))
    parts = [np.stack(np.broadcast_arrays(start, *(getattr(s, name) for s in everywhere))[1:], -1) for name in names]
    values = dict(zip(names, np.broadcast_arrays(*parts), strict=True))
    x, n = values["x"], len(stations)
    before, after = x <= start[..., None], x >= end[..., None]
    rank = np.where(before, 0, np.where(after, 6, 3))  # among those at one place
    rank[..., n:] = (1, 2, 4, 5)
    inside = ~before & ~after
    inside[..., n:] = False
    values["wall"] = np.where(inside, solid, values["wall"])
    order = np.lexsort((rank, x), axis=-1)
    sorted_ = {name: np.take_along_axis(v, order, axis=-1) for name, v in values.items()}
    return tuple(Station(**{name: v[..., k] for name, v in sorted_.items()}) for k in range(n + 4))


def solid_reach(stations: tuple[Station, ...], x: Array) -> tuple[Array, Array]:
    """Return how far the sections are solid from x to the handle end and to the tip, 0 where they are hollow there.

    Infinite where no section that way is hollow; of the shape of x [m]. Between a solid and a hollow section the shaft
    is taken as hollow.
    """
    last = replace(stations[-1], x=number(np.inf))
    left = right = number(np.inf) + 0.0 * x
    for a, b in pairwise((*stations, last)):
        walled = (np.isfinite(a.wall) | np.isfinite(b.wall)) & (a.x < b.x)
        left = np.where(walled & (a.x < x), np.minimum(left, np.maximum(x - b.x, 0.0)), left)
        right = np.where(walled & (b.x > x), np.minimum(right, np.maximum(a.x - x, 0.0)), right)
    return left, right


def _ends(shaft: Shaft) -> tuple[tuple[str, Array, float], ...]:
    """Return name, end and the side away from the cut, of each half that has a plug."""
    rig = shaft.rig
    if not isinstance(rig, Hinged):
        return ()
    both = (("inner", rig.inner_plug, -1e-9), ("outer", rig.outer_plug, 1e-9))
    return tuple(row for row in both if np.any(~np.isnan(row[1])))


def _names(which: str) -> tuple[str, ...]:
    return net_names(f"{which} cradle, beside the plug", pressed=which == "outer")


def declared(shaft: Shaft) -> tuple[str, ...]:
    """Return the comparisons beside a shaft's plugs, by name; none where there is no plug."""
    return tuple(name for which, _, _ in _ends(shaft) for name in _names(which))


def plugs(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Yield bending of the hollow shaft just beyond each plug, its limit over what the plug's end raises."""
    rig = beam.shaft.rig
    if not isinstance(rig, Hinged):
        return
    for which, end, beyond in _ends(beam.shaft):
        there = ~np.isnan(end)[..., None, None]
        x = np.where(there, end[..., None, None] + beyond, rig.hand[..., None, None])
        name = f"{which} cradle, beside the plug"
        yield from beside(beam, x, there, name, rig.plug_raiser[..., None, None], pressed=which == "outer")


def beside(
    beam: Beam,
    x: Array,
    there: Bools,
    name: str,
    raiser: Array,
    *,
    pressed: bool = True,
    source: str = "stress of the hollow shaft times what the plug's end raises: 1.5 square, 1.25 tapered (judgement)",
    unknown: str = "plug_ends",
) -> Iterator[Use]:
    """Yield bending of the shaft just beyond an end, as of a plug, its limit over what the end raises.

    Parameters
    ----------
    x : (..., 1, points) - just beyond each end; anywhere where there is none [m]
    there : same shape - whether there is one
    raiser : broadcasts with x - what the end raises the bending stress by [-]
    pressed : whether a push along the shaft comes this far
    source, unknown : why so much, and what may be missing besides a strength
    """
    left = np.where(there, 1.0 / raiser, 1.0)
    for u in net_uses(
        beam,
        beam.at(x),
        name,
        stroke=left,
        flat=left,
        area=np.ones_like(left),
        source=source,
        unknown=unknown,
        pressed=pressed,
    ):
        yield replace(u, use=np.where(there, u.use, 0.0), demand=np.where(there, u.demand, 0.0))
