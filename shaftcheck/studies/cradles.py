"""What else than size would make a hinged rig hold: its cradles changed in one thing, or in length with liner."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace

import numpy as np

from shaftcheck import engine
from shaftcheck.checks.compare import NOT_CHECKED
from shaftcheck.checks.cradle import LINERS
from shaftcheck.checks.plug import PLUG_ENDS, plugged
from shaftcheck.loads import loaded
from shaftcheck.model import Array, Hinged, Shaft, number, stack
from shaftcheck.said import Said, said, sized
from shaftcheck.sections import at as section_at
from shaftcheck.studies.placing import cut, written_ratio

__all__ = ["AT_ONCE", "better_cradles", "hold", "lined", "longer", "plugs", "tighter"]

AT_ONCE = 16
"""shafts that are checked together"""
REACH = 0.05
"""how far a cradle must stay from hand and neck (judgement) [m]"""
MOST = 0.3
"""a cradle that must grow by more than this is no advice (judgement) [m]"""
AWAY = 0.15
"""a cut that must move by more than this is another rig (judgement) [m]"""
LINED = (0.003, 0.004, 0.005, 0.006, 0.008, 0.010)
"""thicknesses of liner that are tried (judgement) [m]"""
LOOSER = (0.75, 0.5, 0.25)
"""parts of the clamp's force that are tried (judgement) [-]"""
TIGHTER = (500.0, 750.0, 1000.0, 1250.0, 1500.0, 2000.0, 2500.0, 3000.0, 4000.0, 5000.0, 6000.0)
"""clamp forces that are tried where a half slips (judgement) [N]"""
BOLTS = (0.012, 0.010, 0.008, 0.006, 0.005)
"""diameters of smaller bolts that are tried (judgement) [m]"""
INCH_BOLTS = (0.0127, 0.009525, 0.0079375, 0.00635, 0.0047625)
"""the same in inches, 1/2 to 3/16 in (judgement) [m]"""

_Change = tuple[Said, Shaft]


def better_cradles(
    shaft: Shaft, failing: Collection[str], *, own: Array, step: float, by_moves: bool | None
) -> tuple[Said, ...]:
    """Return the least change of each kind that alone makes a hinged rig hold in all that is checked.

    Where none does alone, the least length with the least liner, or clamp where a half slips, that together do.

    Parameters
    ----------
    shaft : a single shaft, batch shape ()
    failing : names of the comparisons that are not met
    own : what the user divides each strength by [-]
    step : to which lengths are rounded up [m]
    by_moves : whether the link's ratio is told by what moves how far, so that it must be written once the cut moves;
        None where that is unknown, and no other cut can be advised
    """
    rig = shaft.rig
    if not isinstance(rig, Hinged):
        return ()
    solid = plugs(shaft, rig, step)
    if solid is not None and any("ring bending" in name for name in failing):
        plugged_ = _first([solid], own)  # without them nothing else helps a ring
        return () if plugged_ is None else (plugged_,)
    mine = tuple(which for which in ("inner", "outer") if any(name.startswith(f"{which} cradle") for name in failing))
    out = [_first(_moved(shaft, rig, step, by_moves), own)]
    if mine:
        slips = all(name.endswith("cradle, grip") for name in failing)
        kinds: tuple[Iterator[tuple[Said, Hinged]], ...] = (tighter(rig),)
        if not slips:  # what else it falls short in, a tighter clamp does not mend
            kinds = (longer(shaft, rig, mine, step), lined(rig), _seated(rig), _looser(rig), _bolted(rig, step))
        alone = [_first(((words, replace(shaft, rig=new)) for words, new in kind), own) for kind in kinds]
        if not any(alone):
            both = (
                (
                    said(f"{a.text}, with {b.text}", **dict((*a.parts, *b.parts))),
                    replace(shaft, rig=_with(long, soft)),
                )
                for b, soft in (tighter(rig) if slips else lined(rig))
                for a, long in longer(shaft, rig, mine, 4.0 * step)
            )
            alone.append(_first(both, own))
        out = [*alone, *out]
    return tuple(words for words in out if words is not None)


def _moved(shaft: Shaft, rig: Hinged, step: float, by_moves: bool | None) -> Iterator[_Change]:
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
    for k in range(1, round(AWAY / step) + 1):
        for way, sign in (("inboard", -1.0), ("outboard", 1.0)):
            by = sign * k * step
            new = place(rig.saw + by, number(np.nan))
            if not any(where for _, where in new.barred):
                words = said(
                    f"the cut, with {what}, {{by}} further {{way}}, at {{saw}}, {{link}}",
                    by=sized(abs(by)),
                    way=way,
                    saw=sized(float(rig.saw + by)),
                    link=link,
                    **({"wood": woods[0]} if woods else {}),
                )
                yield words, new.shaft


def _first(changes: Iterable[_Change], own: Array) -> Said | None:
    """Return the words of the first change that holds."""
    rest = list(changes)
    for i in range(0, len(rest), AT_ONCE):
        block = rest[i : i + AT_ONCE]
        for (words, _), good in zip(block, hold([s for _, s in block], own), strict=True):
            if good:
                return words
    return None


def hold(shafts: Sequence[Shaft], own: Array) -> list[bool]:
    """Return of each shaft whether all that matters is known and met."""
    rows = engine.run(loaded(stack(shafts), own))
    uses = np.stack([np.where(r.known, r.use, np.inf) for r in rows if r.kind != NOT_CHECKED])
    return [bool(v) for v in np.all(uses <= 1.0, axis=0)]


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
        "solid plugs glued in, tapered at their far ends, {inner} long in the inner half and {outer} in the outer",
        inner=sized(sizes["inner"], side="up"),
        outer=sized(sizes["outer"], side="up"),
    )
    return words, replace(shaft, rig=new, stations=plugged(shaft.stations, new))


def longer(shaft: Shaft, rig: Hinged, which: Sequence[str], step: float) -> Iterator[tuple[Said, Hinged]]:
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


def lined(rig: Hinged) -> Iterator[tuple[Said, Hinged]]:
    """Yield the liners that give more than the one there is, the thinnest and hardest first."""
    now = _give(float(rig.liner), float(rig.liner_stiffness))
    ways = sorted((_give(t, e), t, name) for name, e in LINERS.items() if name != "none" for t in LINED)
    for give, thick, name in ways:
        if give > now * (1.0 + 1e-9):
            words = said("a liner of {liner} of {name}", liner=sized(thick), name=name)
            yield words, replace(rig, liner=number(thick), liner_stiffness=number(LINERS[name]))


def _give(thick: float, modulus: float) -> float:
    return thick / modulus


def _with(rig: Hinged, lined: Hinged) -> Hinged:
    return replace(rig, liner=lined.liner, liner_stiffness=lined.liner_stiffness, clamp=lined.clamp)


def _seated(rig: Hinged) -> Iterator[tuple[Said, Hinged]]:
    """Yield seats that dry, seats that wrap, both, and bolts beside the shaft."""
    dry = replace(rig, wet=number(0.0))
    wrapped = replace(rig, wraps=number(1.0))
    beside = replace(rig, bolted_through=number(0.0))
    if float(rig.wet) == 1.0:
        yield said("cradles that drain and ends that are sealed, so that the wood in them dries"), dry
    if float(rig.wraps) == 0.0:
        yield said("seats that wrap a quarter of the shaft or more"), wrapped
    if float(rig.wet) == 1.0 and float(rig.wraps) == 0.0:
        yield said("seats that wrap a quarter of the shaft and that dry"), replace(wrapped, wet=number(0.0))
    if float(rig.bolted_through) == 1.0:
        yield said("bolts beside the shaft instead of through it"), beside


def _bolted(rig: Hinged, step: float) -> Iterator[tuple[Said, Hinged]]:
    """Yield smaller bolts, the next smaller first."""
    for size in BOLTS if math.isclose(step, 0.010) else INCH_BOLTS:
        if size < float(rig.bolt) - 1e-6:
            yield said("bolts of {bolt}", bolt=sized(size, side="down")), replace(rig, bolt=number(size))


def _looser(rig: Hinged) -> Iterator[tuple[Said, Hinged]]:
    """Yield the clamps less tight."""
    for part in LOOSER:
        step = 100.0 if float(rig.clamp) > 1000.0 else 10.0
        force = np.floor(float(rig.clamp) * part / step) * step
        yield said("cradles that squeeze with {clamp}", clamp=sized(force, "force")), replace(rig, clamp=number(force))


def tighter(rig: Hinged) -> Iterator[tuple[Said, Hinged]]:
    """Yield the clamps tighter."""
    for force in TIGHTER:
        if force > float(rig.clamp):
            yield (
                said("cradles that squeeze with {clamp}", clamp=sized(force, "force")),
                replace(rig, clamp=number(force)),
            )
