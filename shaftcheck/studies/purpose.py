"""What a hinged rig's shaft would be if it were made for it: hard wood through both cradles, light wood beyond a scarf.

The outer shape stays. Woods from two short lists, each way of the scarf and both faces of its tips are tried, the
lightest make first, until one holds; where none does, the one that comes nearest is taken.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import product

import numpy as np

from shaftcheck import engine
from shaftcheck.beam import density
from shaftcheck.checks.scarf_build import KERF, Scarf, tips
from shaftcheck.frozen import frozen
from shaftcheck.loads import loaded
from shaftcheck.model import Array, Hinged, Piece, Shaft, Station, Wood, map_arrays, number
from shaftcheck.studies.tried import CLOSE
from shaftcheck.studies.woods import Index, Stock
from shaftcheck.whole import whole

__all__ = ["CLEAR", "SLOPE", "Purpose", "again", "purpose"]

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
    face: float
    """of the outer wood's tip, as a scarf has it"""
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
    shaft: Shaft,
    hard: Sequence[Wood],
    light: Sequence[Wood],
    *,
    own: Array,
    runout: float,
    blade_follows: bool,
    mark: float,
) -> Purpose | None:
    """Return the make for a hinged rig that holds at the least weight, or comes nearest to it; None if none has room.

    Parameters
    ----------
    shaft : a single hinged rig, batch shape (); its woods, joints and flaws do not matter, nor that it is hollow
    hard, light : woods to try through the cradles and beyond the scarf
    own : what the user divides each strength by [-]
    runout : of the grain that is ordered [-]
    blade_follows : whether the blade's weight is that of the light wood
    mark : of which the scarf's middle is a whole number from the handle end [m]
    """
    rows = np.array(list(product(range(len(hard)), range(len(light)), (1.0, 0.0), (1.0, -1.0))))
    makes = _makes(shaft, hard, light, rows, runout, blade_follows, mark)
    if makes is None:
        return None
    order = np.argsort(np.round(whole(makes.build(np.arange(len(makes.rows)))).mass, 6), kind="stable")
    worst = np.full(len(order), np.inf)
    tried, best = 0, -1

    def look(index: Index, rounds: int = 0) -> None:
        found = engine.run(loaded(makes.build(index), own), rounds=rounds)
        worst[index] = np.stack([np.where(r.known, r.use, np.inf) for r in found]).max(axis=0)

    for k in range(0, len(order), AT_ONCE):
        index = order[k : k + AT_ONCE]
        look(index)
        close = index[(worst[index] >= CLOSE) & (worst[index] <= 1.0)]
        if len(close):
            look(close, 2)
        tried += len(index)
        good = index[worst[index] <= 1.0]
        if len(good):
            best = int(good[0])
            break
    holds = best >= 0
    best = best if holds else int(worst.argmin())
    return makes.chosen(best, holds, tried)


def again(
    p: Purpose,
    shaft: Shaft,
    hard: Sequence[Wood],
    light: Sequence[Wood],
    *,
    runout: float,
    blade_follows: bool,
    mark: float,
) -> Shaft | None:
    """Return a make that was chosen for one hinged rig, for another; None if its scarf has no room there.

    Parameters are those of `purpose`.
    """
    row = np.array([[p.hard, p.light, float(p.through_depth), p.face]])
    makes = _makes(shaft, hard, light, row, runout, blade_follows, mark)
    return None if makes is None else makes.chosen(0, p.holds, p.tried).shaft


@frozen
class _Makes:
    """Makes that have room for their scarf: how to build some of them, and where their scarfs lie."""

    build: Callable[..., Shaft]
    """takes which of them, (n,), and names of the two woods"""
    rows: Array
    """(makes, 4): hard, light, whether the scarf goes through the depth, and its face"""
    middle: Array
    start: Array
    end: Array
    outer_to: float
    """where the outer cradle ends [m]"""
    names: tuple[tuple[str, ...], tuple[str, ...]]

    def chosen(self, k: int, holds: bool, tried: int) -> Purpose:
        """Return one of them."""
        h, li = int(self.rows[k, 0]), int(self.rows[k, 1])
        return Purpose(
            shaft=map_arrays(lambda a: a[0], self.build(np.array([k]), (self.names[0][h], self.names[1][li]))),
            hard=h,
            light=li,
            through_depth=bool(self.rows[k, 2] == 1.0),
            face=float(self.rows[k, 3]),
            start=float(self.start[k]),
            end=float(self.end[k]),
            middle=float(self.middle[k]),
            clear=float(self.start[k] - self.outer_to),
            holds=holds,
            tried=tried,
        )


def _makes(
    shaft: Shaft,
    hard: Sequence[Wood],
    light: Sequence[Wood],
    rows: Array,
    runout: float,
    blade_follows: bool,
    mark: float,
) -> _Makes | None:
    """Return those of some makes that have room for their scarf; None where none has."""
    rig = shaft.rig
    if not isinstance(rig, Hinged):
        return None
    stations = tuple(replace(s, wall=number(np.inf)) for s in shaft.stations)
    for clear in CLEAR:
        middle, start, end = _placed(rig, stations, rows[:, 2], np.full(len(rows), clear), mark)
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

    return _Makes(
        build=build,
        rows=rows,
        middle=middle,
        start=start,
        end=end,
        outer_to=float(rig.outer_to),
        names=(tuple(w.name for w in hard), tuple(w.name for w in light)),
    )


def _placed(
    rig: Hinged, stations: tuple[Station, ...], through_depth: Array, clear: Array, mark: float
) -> tuple[Array, Array, Array]:
    """Return middle, start and end of scarfs that stay so many of their own lengths clear of the outer cradle.

    The middle is then moved outboard to a whole mark, so that what is told is what was tried.
    """
    middle = np.full(np.shape(clear), float(rig.outer_to) + 0.3)
    start, end = tips(middle, SLOPE, through_depth, stations)
    for _ in range(8):  # the shaft tapers so little that each step takes two digits off the error
        middle = middle + float(rig.outer_to) + clear * (end - start) - start
        start, end = tips(middle, SLOPE, through_depth, stations)
    middle = np.ceil(middle / mark - 1e-6) * mark
    return middle, *tips(middle, SLOPE, through_depth, stations)
