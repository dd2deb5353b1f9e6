"""What a hinged rig's shaft would be if it were made for it: hard wood through both cradles, light wood beyond a scarf.

The outer shape stays. Woods from two short lists, each way of the scarf and both faces of its tips are tried, the
lightest make first, until one holds; where none does, the one that comes nearest is taken.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import product

import numpy as np

from shaftcheck import engine
from shaftcheck.beam import density
from shaftcheck.checks.scarf_build import KERF, Scarf, tips
from shaftcheck.frozen import frozen
from shaftcheck.loads import loaded
from shaftcheck.model import Array, Hinged, Piece, Shaft, Station, Wood, map_arrays, number
from shaftcheck.studies.woods import Index, Stock
from shaftcheck.whole import whole

__all__ = ["CLEAR", "SLOPE", "Purpose", "purpose"]

SLOPE = number(1.0 / 12.0)
"""of the scarf: Wood Handbook FPL-GTR-190 ch. 10, flatter gains nothing"""
CLEAR = (1.0, 0.5, 0.1)
"""how far the scarf stays from the outer cradle, in its own lengths: the first that has room; its own is
better so (judgement) [-]"""
AT_ONCE = 6
"""makes that are checked together"""
_GLUE = "resorcinol"


@frozen
class Purpose:
    """The make that was chosen, and how many were tried."""

    shaft: Shaft
    """a single one, batch shape ()"""
    hard: int
    """index of its inner wood in the list that was given"""
    light: int
    through_depth: bool
    start: float
    """the scarf's ends [m]"""
    end: float
    middle: float
    """where it crosses the axis, and one wood counts as the other from [m]"""
    clear: float
    """how far from the outer cradle [m]"""
    holds: bool
    tried: int


def purpose(
    shaft: Shaft, hard: Sequence[Wood], light: Sequence[Wood], *, own: Array, runout: float, blade_follows: bool
) -> Purpose | None:
    """Return the make for a hinged rig that holds at the least weight, or comes nearest to it; None if none has room.

    Parameters
    ----------
    shaft : a single hinged rig, batch shape (); its woods, joints and flaws do not matter, nor that it is hollow
    hard, light : woods to try through the cradles and beyond the scarf
    own : what the user divides each strength by [-]
    runout : of the grain that is ordered [-]
    blade_follows : whether the blade's weight is that of the light wood
    """
    rig = shaft.rig
    if not isinstance(rig, Hinged):
        return None
    rows = np.array(list(product(range(len(hard)), range(len(light)), (1.0, 0.0), (1.0, -1.0))))
    stations = tuple(replace(s, wall=number(np.inf)) for s in shaft.stations)
    for clear in CLEAR:
        middle, start, end = _placed(rig, stations, rows[:, 2], np.full(len(rows), clear))
        room = end < float(shaft.blade.neck)
        if room.any():
            break
    else:
        return None
    rows, middle, start, end = rows[room], middle[room], start[room], end[room]
    stock = Stock.of([*hard, *light], [runout] * (len(hard) + len(light)))
    bare = replace(
        shaft,
        stations=stations,
        joints=(),
        flaws=(),
        timber=number(1.0),
        rig=replace(rig, inner_plug=number(np.nan), outer_plug=number(np.nan)),
    )

    def build(i: Index, names: tuple[str, str] = ("", "")) -> Shaft:
        """Return some of the makes, as a batch."""
        mine = rows[i]
        woods = [stock.take(k.astype(np.intp)) for k in (mine[:, 0], mine[:, 1] + len(hard))]
        old = shaft.pieces[-1]
        wide = map_arrays(lambda a: np.broadcast_to(a, i.shape), bare)
        ends = ((np.zeros(len(i)), middle[i]), (middle[i], wide.length))
        pieces = tuple(
            Piece(
                start=a,
                end=b,
                wood=replace(s.wood, name=name),
                slope=s.slope,
                moisture=np.broadcast_to(old.moisture, i.shape),
            )
            for (a, b), s, name in zip(ends, woods, names, strict=True)
        )
        mass = wide.blade.mass
        if blade_follows:
            mass = mass * density(pieces[1]) / density(old)
        scarf = Scarf(
            kind="scarf",
            start=start[i],
            end=end[i],
            middle=middle[i],
            slope=np.broadcast_to(SLOPE, i.shape),
            through_depth=mine[:, 2],
            face=mine[:, 3],
            glue=_GLUE,
            sample_broken=True,
            blank=np.full(i.shape, np.nan),
            kerf=np.broadcast_to(KERF, i.shape),
        )
        return replace(wide, pieces=pieces, joints=(scarf,), blade=replace(wide.blade, mass=mass))

    order = np.argsort(np.round(whole(build(np.arange(len(rows)))).mass, 6), kind="stable")
    worst = np.full(len(rows), np.inf)
    tried, best = 0, -1
    for k in range(0, len(rows), AT_ONCE):
        index = order[k : k + AT_ONCE]
        found = engine.run(loaded(build(index), own))
        worst[index] = np.stack([np.where(r.known, r.use, np.inf) for r in found]).max(axis=0)
        tried += len(index)
        good = index[worst[index] <= 1.0]
        if len(good):
            best = int(good[0])
            break
    holds = best >= 0
    best = best if holds else int(worst.argmin())
    h, li = int(rows[best, 0]), int(rows[best, 1])
    return Purpose(
        shaft=map_arrays(lambda a: a[0], build(np.array([best]), (hard[h].name, light[li].name))),
        hard=h,
        light=li,
        through_depth=bool(rows[best, 2] == 1.0),
        start=float(start[best]),
        end=float(end[best]),
        middle=float(middle[best]),
        clear=float(start[best] - rig.outer_to),
        holds=holds,
        tried=tried,
    )


def _placed(
    rig: Hinged, stations: tuple[Station, ...], through_depth: Array, clear: Array
) -> tuple[Array, Array, Array]:
    """Return middle, start and end of scarfs that stay so many of their own lengths clear of the outer cradle."""
    middle = np.full(np.shape(clear), float(rig.outer_to) + 0.3)
    start, end = tips(middle, SLOPE, through_depth, stations)
    for _ in range(8):  # the shaft tapers so little that each step takes two digits off the error
        middle = middle + float(rig.outer_to) + clear * (end - start) - start
        start, end = tips(middle, SLOPE, through_depth, stations)
    return middle, start, end
