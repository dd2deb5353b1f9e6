"""Where no one change makes a hinged rig hold: seats, liner, length of cradles and sizes of the stick at once."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import product

import numpy as np

from shaftcheck.frozen import frozen
from shaftcheck.model import Array, Hinged, Shaft, Station
from shaftcheck.said import Said
from shaftcheck.studies.cradles import BESIDE, DRY, WRAPS, beside, dry, lined, longer, plugs, tighter, wrapped
from shaftcheck.studies.rulers import Ruler
from shaftcheck.studies.thicken import grown
from shaftcheck.studies.tried import AT_ONCE, hold

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


def rebuilt(shaft: Shaft, *, own: Array, ruler: Ruler, slips: bool) -> Rebuilt | None:
    """Return the least that was found to make a hinged rig hold with several changes at once; None where none does.

    The stick is grown last, as little as does; then whatever is not needed is left as it was.

    Parameters
    ----------
    shaft : a single shaft, batch shape ()
    own : what the user divides each strength by [-]
    ruler : the sizes that are tried
    slips : whether a half slips in its cradle, so that tighter clamps are tried too
    """
    rig = shaft.rig
    if not isinstance(rig, Hinged):
        return None

    def first(ways: Sequence[_Way]) -> _Way | None:
        for i in range(0, len(ways), AT_ONCE):
            made = [(w, _made(shaft, rig, w, ruler)) for w in ways[i : i + AT_ONCE]]
            block = [(w, m[1]) for w, m in made if m is not None]
            good = hold([m for _, m in block], own) if block else []
            if any(good):
                return block[good.index(True)][0]
        return None

    ways = list(_ways(shaft, rig, ruler, slips))
    stoutest = [w for w in ways if w.more == max(w.more for w in ways)]
    if first(stoutest[::-1]) is None:  # where the stoutest stick does not do, a slimmer one is not tried
        return None
    least = first(ways)
    assert least is not None
    best = _pared(shaft, rig, least, own, ruler)
    made, stick = _made(shaft, rig, best, ruler), grown(shaft, np.full(len(shaft.stations), best.more), ruler.mark)
    assert made is not None
    assert stick is not None
    return Rebuilt(words=made[0], stations=stick.stations)


def _ways(shaft: Shaft, rig: Hinged, ruler: Ruler, slips: bool) -> Iterator[_Way]:
    """Yield all that is tried, the least stout first, then the shortest cradles, then the least liner."""
    plug = plugs(shaft, rig, ruler.step) is not None
    told = not np.isnan(rig.inner_plug) or not np.isnan(rig.outer_plug)
    skip = _THIN if plug or told else 1
    liners: list[tuple[Said, Hinged] | None] = [None, *list(lined(rig, ruler))[2::3]]
    cradles: list[tuple[Said, Hinged] | None] = [None, *longer(shaft, rig, ("inner", "outer"), 4.0 * ruler.step)]
    clamps: list[tuple[Said, Hinged] | None] = [*list(tighter(rig, ruler))[::4]] if slips else [None]
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


def _made(shaft: Shaft, rig: Hinged, way: _Way, ruler: Ruler) -> tuple[tuple[Said, ...], Shaft] | None:
    """Return what is changed of the rig in words, and the shaft so made; None where a joint does not fit in it."""
    new, words = rig, []
    if way.wraps:
        new = wrapped(new)
        words.append(WRAPS)
    if way.dry:
        new = dry(new)
        words.append(DRY)
    if way.beside:
        new = beside(new)
        words.append(BESIDE)
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
    out = grown(replace(shaft, rig=new), np.full(len(shaft.stations), way.more), ruler.mark)
    if out is None:
        return None
    if way.plug:
        both = plugs(out, new, ruler.step)
        assert both is not None
        words.append(both[0])
        out = both[1]
    return tuple(words), out


def _pared(shaft: Shaft, rig: Hinged, way: _Way, own: Array, ruler: Ruler) -> _Way:
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
        made = None if trial == way else _made(shaft, rig, trial, ruler)
        if made is not None and hold([made[1]], own)[0]:
            way = trial
    return way
