"""What would make a shaft hold, each way of it tried and found to: the rig, joints, sections, the wood."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from shaftcheck.border.assemble import Built
from shaftcheck.border.shown import System, say, show
from shaftcheck.checks import JOINTS
from shaftcheck.checks.flaw import misplaced
from shaftcheck.checks.placed import follow
from shaftcheck.engine import run
from shaftcheck.loads import loaded
from shaftcheck.model import Array, Hinged, Joint, Shaft, Station, number
from shaftcheck.outcome import Advice, Line
from shaftcheck.said import Said, percent, said, sized
from shaftcheck.strength import STRAIGHT
from shaftcheck.studies.needs import together
from shaftcheck.studies.rulers import INCHES, METRIC, Ruler
from shaftcheck.studies.thicken import grown, thicken
from shaftcheck.studies.tried import hold
from shaftcheck.verdict import of_place

__all__ = ["advice_for"]


MUCH = 1.3
"""where a stick must be stouter by more, one with other sizes of its joint is looked for too (judgement) [-]"""
ITSELF = ("bending", "life", "shear, stroke", "shear, up and down")
"""comparisons of the shaft itself that no joint in it changes; a column gives where its joint gives"""
RULERS: dict[System, Ruler] = {"metric": METRIC, "inches": INCHES}


def advice_for(built: Built, lines: Sequence[Line], system: System, *, by_moves: bool | None) -> tuple[Advice, ...]:
    """Return what would make it hold in all that is checked; each was tried and found to hold.

    Parameters
    ----------
    by_moves : whether a link's ratio is told by what moves how far; None where that is unknown
    """
    failing = {line.check for line in lines if line.use > 1.0}
    if not failing:
        return ()
    shaft, own = built.shaft, number(built.own)
    badly = misplaced(shaft)
    if not badly:
        return _advice(shaft, failing, own, system, by_moves)
    off = " and the ".join(dict.fromkeys(f.kind for f, _ in badly))
    words = f"the {off} taken off where {' and where '.join(dict.fromkeys(where for _, where in badly))}"
    bare = replace(shaft, flaws=tuple(f for f in shaft.flaws if all(f is not other for other, _ in badly)))
    if _passes(bare, own):
        return (_as_it_is(words), *_other_cradles(shaft, failing, own, system, by_moves))
    more = _advice(bare, failing, own, system, by_moves)
    anew = (a.anew and f"{a.anew}, and {words}" for a in more)
    return tuple(
        Advice(f"{words}, and {a.whole}", f"{words}, and {a.short}", n) for a, n in zip(more, anew, strict=True)
    )


def _advice(
    shaft: Shaft, failing: Collection[str], own: Array, system: System, by_moves: bool | None
) -> tuple[Advice, ...]:
    moved = _moved_away(shaft, failing, own, system)
    joints = [_as_it_is(say(words, system)) for words in moved or _other_joints(shaft, own, system)]
    out = [*_other_cradles(shaft, failing, own, system, by_moves), *joints]
    stouter = thicken(shaft, own=own, step=RULERS[system].mark)
    if stouter is not None:
        if not out and any(float(b.depth / a.depth) > MUCH for a, b in _changed(shaft.stations, stouter)):
            out += _thicker_with_other_joints(shaft, own, system)
        out.append(_stouter(shaft, stouter, system))
    straight = replace(shaft, pieces=tuple(replace(p, slope=np.minimum(p.slope, STRAIGHT)) for p in shaft.pieces))
    if any(float(p.slope) > STRAIGHT for p in shaft.pieces) and _passes(straight, own):
        words = "wood whose grain runs out no more than 1:20"
        out.append(Advice(f'{words} (runout = "1:20")', words, words))
    if not out and "crease" in failing:
        words = "another stick: no size and no rig makes a creased one good"
        return (Advice(words, words, "wood without a crease: no size and no rig makes a creased stick good"),)
    return tuple(out) or _several(shaft, failing, own, system) or _thicker_with_other_joints(shaft, own, system)


def _moved_away(shaft: Shaft, failing: Collection[str], own: Array, system: System) -> list[Said]:
    """Return the least move of each joint that makes the shaft hold, where nothing but rules of place is broken."""
    if not failing or not all(of_place(check) for check in failing):
        return []
    from shaftcheck.studies.away import moved_away

    found = (moved_away(shaft, i, own=float(own), ruler=RULERS[system]) for i in range(len(shaft.joints)))
    return [words for words in found if words is not None]


def _several(shaft: Shaft, failing: Collection[str], own: Array, system: System) -> tuple[Advice, ...]:
    """Return several changes of a hinged rig and its stick at once."""
    if not isinstance(shaft.rig, Hinged):
        return ()
    from shaftcheck.studies.rebuilt import rebuilt

    slips = any(name.endswith("cradle, grip") for name in failing)
    found = rebuilt(shaft, own=own, ruler=RULERS[system], slips=slips)
    if found is None:
        return ()
    rig = "all of these: " + ", ".join(say(w, system) for w in found.words)
    if not _changed(shaft.stations, found.stations):
        return (_as_it_is(rig),)
    stick = _stouter(shaft, found.stations, system)
    aloud = _aloud(rig)
    return (Advice(f"{rig}, and {stick.whole}", f"{aloud}, and {stick.short}", f"{aloud}, and {stick.anew}"),)


def _other_cradles(
    shaft: Shaft, failing: Collection[str], own: Array, system: System, by_moves: bool | None
) -> list[Advice]:
    if not isinstance(shaft.rig, Hinged):
        return []
    from shaftcheck.studies.cradles import better_cradles

    found = better_cradles(shaft, failing, own=own, ruler=RULERS[system], by_moves=by_moves)
    return [_as_it_is(say(w, system)) for w in found]


def _as_it_is(words: str) -> Advice:
    return Advice(words, _aloud(words))


def _aloud(words: str) -> str:
    """Return words without the keys of the file that stand in brackets."""
    return re.sub(r" \([^()]*[=_][^()]*\)", "", words)


def _changed(old: Sequence[Station], new: Sequence[Station]) -> list[tuple[Station, Station]]:
    """Return the sections that are of another size, as they are and as they are to be."""
    both = zip(old, new, strict=True)
    return [(a, b) for a, b in both if float(a.depth) != float(b.depth) or float(a.width) != float(b.width)]


def _stouter(shaft: Shaft, new: Sequence[Station], system: System) -> Advice:
    """Return the sections that are to be stouter."""
    pairs = _changed(shaft.stations, new)
    places: dict[str, list[str]] = {}
    for _, b in pairs:
        places.setdefault(_section(b, system), []).append(show(float(b.x), "length", system))
    each = ", ".join(f"{_section(b, system)} at {show(float(b.x), 'length', system)}" for _, b in pairs)
    wedges = {j.kind: JOINTS[j.kind].wedge for j in shaft.joints}
    slopes = {j.kind: show(wedge(j), "slope") for j in shaft.joints if (wedge := wedges[j.kind]) is not None}
    kept = "".join(f", the {kind} in it still cut at {slope}" for kind, slope in slopes.items())
    whole = f"a new stick with sections (fore and aft by up and down) of {each}{kept}"
    if len(places) <= 2:
        short = "sections of " + " and ".join(f"{size} at {' and '.join(at)}" for size, at in places.items())
    else:
        more, most = max(((float(b.depth / a.depth), b) for a, b in pairs), key=lambda p: p[0])
        up_to = f"{_section(most, system)} at {show(float(most.x), 'length', system)}"
        short = f"stouter sections, by up to {percent(more - 1.0, 'up')} ({up_to})"
    return Advice(whole, f"a new stick with {short}", short)


def _other_joints(shaft: Shaft, own: Any, system: System) -> list[Said]:
    """Return the least change of each joint that makes the shaft hold: of its sizes, of one thing, or of both."""
    found = (_other_joint(shaft, i, own, system) for i in range(len(shaft.joints)))
    return [words for words in found if words is not None]


def _other_joint(shaft: Shaft, index: int, own: Any, system: System) -> Said | None:
    if _short_itself(shaft, own):
        return None
    found = _sizes(shaft, index, own, system)
    if found is not None:
        return found
    ways = _ways(shaft, index, system)
    for words, changed in ways:
        if _passes(changed, own):
            return words
    found_in = (_both(words, _sizes(changed, index, own, system)) for words, changed in ways)
    return next((words for words in found_in if words is not None), None)


def _short_itself(shaft: Shaft, own: Any) -> bool:
    """Return whether the shaft falls short whatever its joints are; a joint of two woods may move one of them."""
    return len(shaft.pieces) == 1 and any(r.use > 1.0 for r in run(loaded(shaft, own)) if r.check in ITSELF)


def _ways(shaft: Shaft, index: int, system: System) -> list[tuple[Said, Shaft]]:
    """Return the shaft with a joint changed in one thing, in words and whole."""
    joint = shaft.joints[index]
    found = JOINTS[joint.kind].variants(shaft, joint, RULERS[system].stride)
    return [(words, _with(shaft, index, other)) for words, other in found]


def _both(words: Said, sizes: Said | None) -> Said | None:
    return None if sizes is None else said(f"{words.text}, and {sizes.text}", **dict(words.parts + sizes.parts))


def _with(shaft: Shaft, index: int, joint: Joint) -> Shaft:
    """Return the shaft with another joint in the place of one; two woods that meet in it go on meeting in it."""
    old = shaft.joints[index]
    placing = JOINTS[old.kind].placing
    pieces = shaft.pieces
    if placing is not None:
        pieces, _ = follow(shaft, placing.middle(joint) - placing.middle(old), old.start, old.end)
    return replace(shaft, pieces=pieces, joints=(*shaft.joints[:index], joint, *shaft.joints[index + 1 :]))


def _sizes(shaft: Shaft, index: int, own: Any, system: System) -> Said | None:
    """Return the sizes of a joint that together make the shaft hold, in words."""
    found = together(shaft, index, own, system == "inches")
    if found is None or not found[0] or not _passes(_with(shaft, index, found[1]), own):
        return None
    what = ", ".join(f"{key.replace('_', ' ')} {{{key}}}" for key in found[0])
    parts = {key: sized(value, side="up") for key, value in found[0].items()}
    return said(f"in the {{kind}}: {what}", kind=shaft.joints[index].kind, **parts)


def _thicker_with_other_joints(shaft: Shaft, own: Any, system: System) -> tuple[Advice, ...]:
    """Return sections all a little thicker with a joint of other sizes, or changed in one thing too; the least."""
    for i, old in enumerate(shaft.joints):
        if JOINTS[old.kind].sizes is None:
            continue
        found: tuple[Advice, ...] = ()
        way: int | None = None
        for more in (1.3, 1.2, 1.12, 1.08, 1.04):
            thicker = grown(shaft, np.full(len(shaft.stations), more), RULERS[system].mark)
            if thicker is None or _short_itself(thicker, own):
                break
            words, way = _where_it_is(thicker, i, own, system, way)
            if words is None:
                break
            stouter, joint = _stouter(shaft, thicker.stations, system), say(words, system)
            parts = (f"{text}, and {joint}" for text in (stouter.whole, stouter.short, stouter.anew))
            found = (Advice(*parts),)
        if found:
            return found
    return ()


def _where_it_is(shaft: Shaft, index: int, own: Any, system: System, way: int | None) -> tuple[Said | None, int | None]:
    """Return what makes a joint hold where it is: sizes, or a change beside them, as that of the way if it is told."""
    start = float(shaft.joints[index].start)
    ways = [w for w in _ways(shaft, index, system) if float(w[1].joints[index].start) == start]
    for i in range(-1, len(ways)) if way is None else (way,):
        if i < 0:
            words = _sizes(shaft, index, own, system)
        else:
            words = _both(ways[i][0], _sizes(ways[i][1], index, own, system))
        if words is not None:
            return words, i
    return None, way


def _section(s: Station, system: System) -> str:
    return " by ".join(show(float(v), "length", system) for v in (s.depth, s.width))


def _passes(shaft: Shaft, own: Any) -> bool:
    return hold([shaft], own)[0]
