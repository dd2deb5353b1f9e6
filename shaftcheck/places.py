"""How far apart the values of an unknown place may be tried, so that no short part of a shaft slips between them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields

import numpy as np

from shaftcheck.model import Array, OnePiece, Shaft

__all__ = ["longest_step"]

LEAST = 0.002
"""a part that is shorter is taken as so long: no place in a shaft file is told more finely than half of it
(judgement) [m]"""
REACH = 0.15
"""how far beside a place a part may still tell on it: a seat, and the shaft's greater size beyond (judgement) [m]"""
_RIG = ("hand", "lock", "saw", "restart", "inner_pin", "inner_from", "inner_to", "outer_pin", "outer_from", "outer_to",
        "inner_plug", "outer_plug", "inner_bolt", "outer_bolt")  # fmt: skip
_JOINT = ("start", "end", "at", "middle")


def longest_step(low: Shaft, high: Shaft) -> float:
    """Return how far apart the values of an input may be tried [m]: half the shortest part that it may meet.

    Infinite for an input that moves no place.

    Parameters
    ----------
    low, high : single shafts, batch shape (), at the input's ends
    """
    moved = [(min(a, b), max(a, b)) for a, b in zip(_places(low), _places(high), strict=True) if abs(b - a) > 1e-9]
    if not moved:
        return float("inf")
    met = [
        end - start
        for shaft in (low, high)
        for start, end in _parts(shaft)
        if any(start <= last + REACH and end >= first - REACH for first, last in moved)
    ]
    return max(min(met, default=float("inf")), LEAST) / 2.0


def _places(shaft: Shaft) -> list[float]:
    """Return all places of a shaft [m], nan for none as minus one."""
    found: list[Array] = [shaft.length, shaft.blade.neck, shaft.blade.tip, *(s.x for s in shaft.stations)]
    found += [x for piece in shaft.pieces for x in (piece.start, piece.end)]
    found += [x for flaw in shaft.flaws for x in (flaw.start, flaw.end)]
    for part, names in ((shaft.rig, _RIG), *((j, _JOINT) for j in shaft.joints)):
        found += [getattr(part, f.name) for f in fields(part) if f.name in names]
    return [float(np.nan_to_num(x, nan=-1.0)) for x in found]


def _parts(shaft: Shaft) -> Iterator[tuple[float, float]]:
    """Yield what is short along a shaft, from where to where [m]: seats, bolts, joints, flaws, steps of the section."""
    rig = shaft.rig
    if isinstance(rig, OnePiece):
        spans = [(rig.lock - size / 2.0, rig.lock + size / 2.0) for size in (rig.seat, rig.contact) if size > 0.0]
    else:
        spans = [(rig.inner_from, rig.inner_to), (rig.outer_from, rig.outer_to)]
        spans += [(at - rig.bolt / 2.0, at + rig.bolt / 2.0) for at in (rig.inner_bolt, rig.outer_bolt)]
    spans += [(joint.start, joint.end) for joint in shaft.joints]
    spans += [(flaw.start, flaw.end) for flaw in shaft.flaws]
    spans += [
        (a.x, b.x)
        for a, b in zip(shaft.stations, shaft.stations[1:], strict=False)
        if any(float(getattr(a, size)) != float(getattr(b, size)) for size in ("depth", "width", "wall"))
    ]
    yield from ((float(start), float(end)) for start, end in spans if np.isfinite(end - start))
