"""What is marked on the wood before the saw: cuts, tips and seats, and how a section is taken down by eight-siding."""

from __future__ import annotations

import math

import numpy as np

from shaftcheck import sections
from shaftcheck.checks import JOINTS
from shaftcheck.checks.joint import Turned
from shaftcheck.frozen import frozen
from shaftcheck.model import Hinged, Shaft, number

__all__ = ["Gauge", "Marked", "cuts", "gauge", "marks", "turned"]


@frozen(eq=True)
class Marked:
    """One line on the wood."""

    x: float
    """from the handle end [m]"""
    tip: float
    """from the blade tip, as a check [m]"""
    what: str
    faces: str
    """on which faces it is drawn"""
    waste: str
    """which side of it is sawn away; empty for a line that nothing is sawn at"""


@frozen(eq=True)
class Gauge:
    """One section with the lines of its eight-siding.

    The four flats at the corners touch the finished section at 45 degrees of the square that it is stretched to. A
    round's lines stand at 0.2929 of its size from each edge (7 : 10 : 7, common practice, no source).
    """

    x: float
    """[m]"""
    depth: float
    """fore and aft [m]"""
    width: float
    """up and down [m]"""
    exponent: float
    from_edge_depth: float
    """of the lines on the upper and lower faces, from their forward and aft edges [m]"""
    from_edge_width: float
    """of the lines on the forward and aft faces, from their upper and lower edges [m]"""
    wall: float
    """from the outside to the hollow; inf where it is solid [m]"""
    turned: Turned | None = None
    """the round that goes into a tube here, and from where to where; None where the section is the shaft's own"""


def gauge(shaft: Shaft, x: float) -> Gauge:
    """Return the section at x and the lines of its eight-siding.

    A superoval |u|^n + |v|^n = 1 reaches h = 2^(1/2 - 1/n) in the direction of 45 degrees, so that the flat
    u + v = sqrt(2) h = 2^(1 - 1/n) meets the edge v = 1 at u = 2^(1 - 1/n) - 1 (derived).

    Parameters
    ----------
    shaft : a single shaft, batch shape ()
    x : from the handle end [m]
    """
    at = sections.at(number(x)[None, None], shaft.stations)
    depth, width, exponent, wall = (float(np.asarray(v).ravel()[0]) for v in at)
    inside = next((t for t in turned(shaft) if t.start < x < t.end), None)
    if inside is not None:
        depth = width = inside.size
        exponent, wall = 2.0, math.inf  # round, and of a hollow half the plug, without which it is not settled
    reach = 2.0 if math.isinf(exponent) else 2.0 ** (1.0 - 1.0 / exponent)
    part = (2.0 - reach) / 2.0
    return Gauge(
        x=x,
        depth=depth,
        width=width,
        exponent=exponent,
        from_edge_depth=part * depth,
        from_edge_width=part * width,
        wall=wall,
        turned=inside,
    )


def turned(shaft: Shaft) -> tuple[Turned, ...]:
    """Return all the wood that is turned down for a joint.

    Parameters
    ----------
    shaft : a single shaft, batch shape ()
    """
    kinds = [(JOINTS[j.kind].turned, j) for j in shaft.joints]
    return tuple(turn(j) for turn, j in kinds if turn is not None)


def marks(shaft: Shaft) -> tuple[Marked, ...]:
    """Return every line to draw, from the handle end to the tip.

    Parameters
    ----------
    shaft : a single shaft, batch shape ()
    """
    rig = shaft.rig
    rows: list[tuple[float, str, str, str]] = []
    if isinstance(rig, Hinged):
        saw, restart = float(rig.saw), float(rig.restart)
        if restart > saw:
            rows += [
                (saw, "end of the inner half", "all round", "the outer side"),
                (restart, "end of the outer half", "all round", "the inner side"),
            ]
        else:
            rows.append((saw, "where inner and outer half meet", "all round", ""))
        for name, low, high, pin in (
            ("inner", rig.inner_from, rig.inner_to, rig.inner_pin),
            ("outer", rig.outer_from, rig.outer_to, rig.outer_pin),
        ):
            rows += [
                (float(low), f"{name} cradle begins", "all round", ""),
                (float(pin), f"{name} pin", "upper and lower", ""),
                (float(high), f"{name} cradle ends", "all round", ""),
            ]
    else:
        rows.append((float(rig.lock), "lock", "all round", ""))
    for i, j in enumerate(shaft.joints, 1):
        rows += [(m.x, f"joint {i}: {m.what}", m.faces, m.waste) for m in JOINTS[j.kind].marks(j)]
    rows.append((float(shaft.blade.neck), "neck: the blade begins", "all round", ""))
    length = float(shaft.length)
    return tuple(
        Marked(x=x, tip=length - x, what=what, faces=faces, waste=waste) for x, what, faces, waste in sorted(rows)
    )


def cuts(shaft: Shaft) -> tuple[Marked, ...]:
    """Return only the lines that something is sawn at."""
    return tuple(m for m in marks(shaft) if m.waste)
