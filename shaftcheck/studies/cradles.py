"""What else than size would make a hinged rig hold: its cradles changed in one thing, or in length with another."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace

import numpy as np

from shaftcheck.checks.cradle import LINERS
from shaftcheck.checks.plug import PLUG_ENDS, plugged
from shaftcheck.model import Array, Hinged, Shaft, number
from shaftcheck.said import Said, said, sized
from shaftcheck.sections import at as section_at
from shaftcheck.studies.placing import cut, written_ratio
from shaftcheck.studies.rulers import Ruler
from shaftcheck.studies.tried import AT_ONCE, hold

__all__ = ["better_cradles", "lined", "longer", "plugs", "seats", "tighter"]

REACH = 0.05
"""how far a cradle must stay from hand and neck (judgement) [m]"""
MOST = 0.3
"""a cradle that must grow by more than this is no advice (judgement) [m]"""
SMALL = 0.1
"""where cradles must grow by more than this, less of it with a liner or other seats is looked for (judgement) [m]"""
AWAY = 0.15
"""a cut that must move by more than this is another rig (judgement) [m]"""
LOOSER = (0.75, 0.5, 0.25)
"""parts of the clamp's force that are tried (judgement) [-]"""

_Change = tuple[Said, Shaft]
_Ways = Iterator[tuple[Said, Hinged]]
_Way = tuple[Said | None, Hinged, Said | None, Hinged]


def better_cradles(
    shaft: Shaft, failing: Collection[str], *, own: Array, ruler: Ruler, by_moves: bool | None
) -> tuple[Said, ...]:
    """Return the least change of each kind that alone makes a hinged rig hold in all that is checked.

    They stand in the order of what they take: liner, clamp, seats, bolts, length, another cut. Where none but much
    longer cradles does alone, the least length that does with a liner, other seats, or both stands before them; where
    a half slips, the least clamp with the least length.

    Parameters
    ----------
    shaft : a single shaft, batch shape ()
    failing : names of the comparisons that are not met
    own : what the user divides each strength by [-]
    ruler : the sizes that are tried
    by_moves : whether the link's ratio is told by what moves how far, so that it must be written once the cut moves;
        None where that is unknown, and no other cut can be advised
    """
    rig = shaft.rig
    if not isinstance(rig, Hinged):
        return ()
    solid = plugs(shaft, rig, ruler.step)
    if solid is not None and any("ring bending" in name for name in failing):
        plugged_ = _first([solid], own)  # without them nothing else helps a ring
        return () if plugged_ is None else (plugged_[0],)
    mine = tuple(which for which in ("inner", "outer") if any(name.startswith(f"{which} cradle") for name in failing))
    out: list[_Change | None] = []
    if mine:
        slips = all(name.endswith("cradle, grip") for name in failing)
        kinds: tuple[_Ways, ...] = (tighter(rig, ruler),)
        if not slips:  # what else it falls short in, a tighter clamp does not mend
            kinds = (lined(rig, ruler), _looser(rig, ruler), seats(rig), _unbolted(rig), _bolted(rig, ruler))
        out = [_first(_rigged(shaft, kind), own) for kind in kinds]
        long = None if slips else _first(_rigged(shaft, longer(shaft, rig, mine, ruler.step)), own)
        if not any(out) and (long is None or _growth(rig, long) > SMALL):
            most = MOST if long is None else _growth(rig, long)
            out.append(_tight_and_long(shaft, rig, own, ruler) if slips else _both(shaft, rig, mine, most, own, ruler))
        out.append(long)
    out.append(_first(_moved(shaft, rig, ruler, by_moves), own))
    return tuple(change[0] for change in out if change is not None)


def _rigged(shaft: Shaft, ways: _Ways) -> Iterator[_Change]:
    return ((words, replace(shaft, rig=new)) for words, new in ways)


def _growth(rig: Hinged, change: _Change) -> float:
    """Return by how much the cradle that grows most is longer [m]."""
    new = change[1].rig
    assert isinstance(new, Hinged)
    return max(float(rig.inner_from - new.inner_from), float(new.outer_to - rig.outer_to))


def _tight_and_long(shaft: Shaft, rig: Hinged, own: Array, ruler: Ruler) -> _Change | None:
    """Return the least clamp with the least length that together hold."""
    long = list(longer(shaft, rig, ("inner", "outer"), 4.0 * ruler.step))
    ways = ((_and(a, b), replace(c, clamp=d.clamp)) for b, d in tighter(rig, ruler) for a, c in long)
    return _first(_rigged(shaft, ways), own)


def _both(shaft: Shaft, rig: Hinged, which: Sequence[str], most: float, own: Array, ruler: Ruler) -> _Change | None:
    """Return the least length of cradles that holds with a liner, with other seats, or with both.

    Each length is asked with the softest liners first: only where one of those holds, the least one is looked for; and
    nothing is, where neither the greatest length nor the middle one holds so.
    """
    lengths: list[tuple[Said | None, Hinged]] = [(None, rig), *longer(shaft, rig, which, 2.0 * ruler.step)]
    liners = [(None, rig), *lined(rig, ruler)]
    ways: list[_Way] = []
    for long, grown in lengths:
        if _growth(rig, (said(""), replace(shaft, rig=grown))) < most - 1e-9:
            ways += [(long, grown, seat, seated) for seat, seated in [(None, rig), *seats(rig), *_unbolted(rig)]]

    def made(way: _Way, soft: tuple[Said | None, Hinged]) -> _Change | None:
        long, grown, seat, seated = way
        words = [w for w in (long, soft[0], seat) if w is not None]
        if len(words) < 2:
            return None
        new = replace(
            seated,
            inner_from=grown.inner_from,
            outer_to=grown.outer_to,
            liner=soft[1].liner,
            liner_stiffness=soft[1].liner_stiffness,
        )
        return _and(*words), replace(shaft, rig=new)

    def tried(way: _Way, liners: Sequence[tuple[Said | None, Hinged]]) -> _Change | None:
        return _first((c for c in (made(way, soft) for soft in liners) if c is not None), own)

    scouts = liners[:1] + liners[-3:]
    if tried(ways[-1], scouts) is None and tried(ways[len(ways) // 2], scouts) is None:
        return None  # where neither the most nor half of it does, what lies between is not tried
    return next((tried(way, liners) for way in ways if tried(way, scouts) is not None), None)


def _and(*words: Said) -> Said:
    """Return changes that are made together."""
    first, *rest = (w.text for w in words)
    return said(f"{first}, with {' and with '.join(rest)}", **dict(part for w in words for part in w.parts))


def _moved(shaft: Shaft, rig: Hinged, ruler: Ruler, by_moves: bool | None) -> Iterator[_Change]:
    """Yield the cut elsewhere, nearest first, as `where` places it; not where a plug would have to go with it."""
    if by_moves is None or not np.isnan(rig.inner_plug) or not np.isnan(rig.outer_plug):
        return
    link, kept = "the link as it is", rig
    if by_moves:
        kept = replace(rig, ratio=written_ratio(rig.ratio))
        link += f" (link_ratio = {float(kept.ratio):.6g} instead of hand_moves and blade_moves)"
    place = cut(replace(shaft, rig=kept))
    woods = [p.wood.name for p in shaft.pieces[:-1] if rig.saw - 1e-9 <= p.end <= rig.restart + 1e-9]
    what = "pins, cradles and the end of the {wood}" if woods else "pins and cradles"
    for k in range(1, round(AWAY / ruler.step) + 1):
        for way, sign in (("inboard", -1.0), ("outboard", 1.0)):
            by = sign * k * ruler.step
            new = place(rig.saw + by, number(np.nan))
            if not any(where for _, where in new.barred):
                saw = float(rig.saw + by)
                at = " at {saw}," if ruler.shows(saw) else ""  # else it is not where the distance puts it
                words = said(
                    f"the cut, with {what}, {{by}} further {{way}},{at} {{link}} (inner_ends, inner_pin, outer_pin)",
                    by=sized(abs(by)),
                    way=way,
                    link=link,
                    **({"saw": sized(saw)} if at else {}),
                    **({"wood": woods[0]} if woods else {}),
                )
                yield words, new.shaft


def _first(changes: Iterable[_Change], own: Array) -> _Change | None:
    """Return the first change that holds."""
    rest = list(changes)
    for i in range(0, len(rest), AT_ONCE):
        block = rest[i : i + AT_ONCE]
        for change, good in zip(block, hold([s for _, s in block], own), strict=True):
            if good:
                return change
    return None


def plugs(shaft: Shaft, rig: Hinged, step: float) -> tuple[Said, Shaft] | None:
    """Return a hollow shaft with plugs in both halves: each the cradle's length and a depth; None where it has some."""
    hollow = any(math.isfinite(float(s.wall)) for s in shaft.stations)
    if not hollow or not (np.isnan(rig.inner_plug) and np.isnan(rig.outer_plug)):
        return None
    sizes = {}
    for which, mouth, end in (("inner", rig.inner_from, rig.saw), ("outer", rig.outer_to, rig.restart)):
        depth = float(section_at(np.array([[float(mouth)]]), shaft.stations)[0][0, 0])
        sizes[which] = math.ceil((abs(float(mouth - end)) + depth) / step - 1e-6) * step
    new = replace(
        rig,
        inner_plug=rig.saw - sizes["inner"],
        outer_plug=rig.restart + sizes["outer"],
        plug_raiser=number(PLUG_ENDS["tapered"]),
    )
    words = said(
        "solid plugs glued in, tapered at their far ends, {inner} long in the inner half and {outer} in the outer "
        '(inner_plug, outer_plug, plug_ends = "tapered")',
        inner=sized(sizes["inner"], side="up"),
        outer=sized(sizes["outer"], side="up"),
    )
    return words, replace(shaft, rig=new, stations=plugged(shaft.stations, new))


def longer(shaft: Shaft, rig: Hinged, which: Sequence[str], step: float) -> _Ways:
    """Yield the cradles longer, by a step at a time, as far as there is room and no joint in the way."""
    inner, outer = float(rig.saw - rig.inner_from), float(rig.outer_to - rig.restart)
    low, high = float(rig.hand) + REACH, float(shaft.blade.neck) - REACH
    low = max([low, *(float(j.end) for j in shaft.joints if float(j.end) <= float(rig.inner_from))])
    high = min([high, *(float(j.start) for j in shaft.joints if float(j.start) >= float(rig.outer_to))])
    for k in range(1, round(MOST / step) + 1):
        grown = {"inner": inner, "outer": outer} | {
            w: np.ceil({"inner": inner, "outer": outer}[w] / step - 1e-9) * step + (k - 1) * step for w in which
        }
        if all(abs(grown[w] - {"inner": inner, "outer": outer}[w]) < 1e-9 for w in which):
            continue
        new = replace(rig, inner_from=rig.saw - grown["inner"], outer_to=rig.restart + grown["outer"])
        if not (low <= float(new.inner_from) and float(new.outer_to) <= high):
            return
        sizes = {w: sized(grown[w]) for w in which}
        if len(which) == 2:
            yield said("cradles that clamp {inner} of the inner half and {outer} of the outer", **sizes), new
        else:
            yield said(f"a cradle that clamps {{{which[0]}}} of the {which[0]} half", **sizes), new


def lined(rig: Hinged, ruler: Ruler) -> _Ways:
    """Yield the liners that give more than the one there is, the thinnest and hardest first."""
    kind = next((k for k, e in LINERS.items() if float(rig.liner) > 0.0 and e == float(rig.liner_stiffness)), "none")
    now = _give(float(rig.liner), float(rig.liner_stiffness))
    ways = sorted((_give(t, e), t, name) for name, e in LINERS.items() if name != "none" for t in ruler.liners)
    for give, thick, name in ways:
        if give > now * (1.0 + 1e-9):
            key = "" if name == kind else f' (liner = "{name}")'
            words = said(f"a liner of {{liner}} of {{name}}{key}", liner=sized(thick), name=name)
            yield words, replace(rig, liner=number(thick), liner_stiffness=number(LINERS[name]))


def _give(thick: float, modulus: float) -> float:
    return thick / modulus


def seats(rig: Hinged) -> _Ways:
    """Yield seats that dry, seats that wrap, and both."""
    if float(rig.wet) == 1.0:
        yield DRY, dry(rig)
    if float(rig.wraps) == 0.0:
        yield WRAPS, wrapped(rig)
    if float(rig.wet) == 1.0 and float(rig.wraps) == 0.0:
        words = 'seats that wrap a quarter of the shaft and that dry (cradle_seat = "wraps", cradle_stays_wet = "no")'
        yield said(words), wrapped(dry(rig))


def _unbolted(rig: Hinged) -> _Ways:
    """Yield bolts beside the shaft."""
    if float(rig.bolted_through) == 1.0:
        yield BESIDE, beside(rig)


DRY = said('cradles that drain and ends that are sealed, so that the wood in them dries (cradle_stays_wet = "no")')
WRAPS = said('seats that wrap a quarter of the shaft or more (cradle_seat = "wraps")')
BESIDE = said('bolts beside the shaft instead of through it (bolts = "beside", what else tells of them left out)')


def dry(rig: Hinged) -> Hinged:
    """Return a rig whose cradles dry."""
    return replace(rig, wet=number(0.0))


def wrapped(rig: Hinged) -> Hinged:
    """Return a rig whose seats wrap the shaft."""
    return replace(rig, wraps=number(1.0))


def beside(rig: Hinged) -> Hinged:
    """Return a rig without bolts through its shaft."""
    nan = number(np.nan)
    return replace(rig, bolted_through=number(0.0), bolt=nan, bolt_fore=nan, inner_bolt=nan, outer_bolt=nan)


def _bolted(rig: Hinged, ruler: Ruler) -> _Ways:
    """Yield smaller bolts, the next smaller first."""
    for size in ruler.bolts:
        if size < float(rig.bolt) - 1e-6:
            yield said("bolts of {bolt}", bolt=sized(size)), replace(rig, bolt=number(size))


def _looser(rig: Hinged, ruler: Ruler) -> _Ways:
    """Yield the clamps less tight."""
    yield from (_squeezed(rig, ruler.less(float(rig.clamp), part)) for part in LOOSER)


def tighter(rig: Hinged, ruler: Ruler) -> _Ways:
    """Yield the clamps tighter."""
    yield from (_squeezed(rig, force) for force in ruler.forces if force > float(rig.clamp))


def _squeezed(rig: Hinged, force: float) -> tuple[Said, Hinged]:
    return said("cradles that squeeze with {clamp}", clamp=sized(force, "force")), replace(rig, clamp=number(force))
