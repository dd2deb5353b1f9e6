"""Where no one change makes a hinged rig hold: seats, liner, length of cradles and sizes of the stick at once."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import product

import numpy as np

from shaftcheck.frozen import frozen
from shaftcheck.model import Array, Hinged, Shaft, Station, number
from shaftcheck.said import Said, said
from shaftcheck.studies.cradles import AT_ONCE, hold, lined, longer, plugs, tighter
from shaftcheck.studies.thicken import grow

__all__ = ["Rebuilt", "rebuilt"]

GROWN = (1.0, 1.05, 1.1, 1.15, 1.2, 1.3)
"""how much stouter the whole stick is tried (judgement) [-]"""
_THIN = 3
"""of a hollow shaft, whose rings cost most to check, every so manieth of what else would be tried is"""


@frozen
class Rebuilt:
    """What was found to hold."""

    words: tuple[Said, ...]
    """what is changed of the rig, each"""
    stations: tuple[Station, ...]
    """sections of the stick; without the plugs that `words` may ask for"""


@frozen
class _Way:
    dry: bool
    wraps: bool
    beside: bool
    plug: bool
    liner: tuple[Said, Hinged] | None
    cradles: tuple[Said, Hinged] | None
    clamp: tuple[Said, Hinged] | None
    more: float


def rebuilt(shaft: Shaft, *, own: Array, step: float, mark: float, slips: bool) -> Rebuilt | None:
    """Return the least that was found to make a hinged rig hold with several changes at once; None where none does.

    The stick is grown last, as little as does; then whatever is not needed is left as it was.

    Parameters
    ----------
    shaft : a single shaft, batch shape ()
    own : what the user divides each strength by [-]
    step : to which lengths are rounded up [m]
    mark : to which sections are rounded up [m]
    slips : whether a half slips in its cradle, so that tighter clamps are tried too
    """
    rig = shaft.rig
    if not isinstance(rig, Hinged):
        return None

    def first(ways: Sequence[_Way]) -> _Way | None:
        for i in range(0, len(ways), AT_ONCE):
            block = ways[i : i + AT_ONCE]
            good = hold([_made(shaft, rig, w, step, mark)[1] for w in block], own)
            if any(good):
                return block[good.index(True)]
        return None

    ways = list(_ways(shaft, rig, step, slips))
    stoutest = [w for w in ways if w.more == max(w.more for w in ways)]
    if first(stoutest[::-1]) is None:  # where the stoutest stick does not do, a slimmer one is not tried
        return None
    least = first(ways)
    assert least is not None
    best = _pared(shaft, rig, least, own, step, mark)
    words, _ = _made(shaft, rig, best, step, mark)
    return Rebuilt(words=words, stations=tuple(grow(s, best.more, mark) for s in shaft.stations))


def _ways(shaft: Shaft, rig: Hinged, step: float, slips: bool) -> Iterator[_Way]:
    """Yield all that is tried, the least stout first, then the shortest cradles, then the least liner."""
    plug = plugs(shaft, rig, step) is not None
    told = not np.isnan(rig.inner_plug) or not np.isnan(rig.outer_plug)
    skip = _THIN if plug or told else 1
    liners: list[tuple[Said, Hinged] | None] = [None, *list(lined(rig))[2::3]]
    cradles: list[tuple[Said, Hinged] | None] = [None, *longer(shaft, rig, ("inner", "outer"), 4.0 * step)]
    clamps: list[tuple[Said, Hinged] | None] = [*list(tighter(rig))[::4]] if slips else [None]
    for more in GROWN[:1] if told else GROWN[:: min(skip, 2)]:  # plugs are sections too, and can't be grown with them
        for c in cradles[::skip]:
            for liner, clamp in product(liners[::skip], clamps):
                yield _Way(
                    dry=float(rig.wet) == 1.0,
                    wraps=float(rig.wraps) == 0.0,
                    beside=float(rig.bolted_through) == 1.0,
                    plug=plug,
                    liner=liner,
                    cradles=c,
                    clamp=clamp,
                    more=more,
                )


def _made(shaft: Shaft, rig: Hinged, way: _Way, step: float, mark: float) -> tuple[tuple[Said, ...], Shaft]:
    """Return what is changed of the rig in words, and the shaft so made."""
    new, words = rig, []
    if way.wraps:
        new = replace(new, wraps=number(1.0))
        words.append(said("seats that wrap a quarter of the shaft or more"))
    if way.dry:
        new = replace(new, wet=number(0.0))
        words.append(said("cradles that drain and ends that are sealed"))
    if way.beside:
        nan = number(np.nan)
        gone = {"bolt": nan, "bolt_fore": nan, "inner_bolt": nan, "outer_bolt": nan}
        new = replace(new, bolted_through=number(0.0), **gone)
        words.append(said("bolts beside the shaft"))
    if way.liner is not None:
        text, other = way.liner
        new = replace(new, liner=other.liner, liner_stiffness=other.liner_stiffness)
        words.append(text)
    if way.clamp is not None:
        text, other = way.clamp
        new = replace(new, clamp=other.clamp)
        words.append(text)
    if way.cradles is not None:
        text, other = way.cradles
        new = replace(new, inner_from=other.inner_from, outer_to=other.outer_to)
        words.append(text)
    out = replace(shaft, rig=new, stations=tuple(grow(s, way.more, mark) for s in shaft.stations))
    if way.plug:
        both = plugs(out, new, step)
        assert both is not None
        words.append(both[0])
        out = both[1]
    return tuple(words), out


def _pared(shaft: Shaft, rig: Hinged, way: _Way, own: Array, step: float, mark: float) -> _Way:
    """Return the way without what it holds without."""
    less: tuple[Callable[[_Way], _Way], ...] = (
        lambda w: replace(w, dry=False),
        lambda w: replace(w, beside=False),
        lambda w: replace(w, plug=False),
        lambda w: replace(w, liner=None),
        lambda w: replace(w, wraps=False),
        lambda w: replace(w, clamp=None),
    )
    for without in less:
        trial = without(way)
        if trial != way and hold([_made(shaft, rig, trial, step, mark)[1]], own)[0]:
            way = trial
    return way
