"""What an answer says of an oar in two halves: stretched faces, the cut, what it needs. Told, and nothing compared."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Beam
from shaftcheck.checks.joint import Note
from shaftcheck.model import Hinged, OnePiece, Shaft
from shaftcheck.said import Size, said, sized
from shaftcheck.sections import at as section_at

__all__ = ["told_of_the_cut"]

_PRACTICE = "common practice, no source"
_ACROSS = {"forward": "aft", "aft": "forward", "upper": "lower", "lower": "upper"}


def told_of_the_cut(beam: Beam, whole: Beam | None, material: str) -> Iterator[Note]:
    """Yield which faces are stretched, how the cut falls, whether it may be made, and whether it can be undone.

    Parameters
    ----------
    beam : a single hinged rig; of an oar in a lock nothing is told
    whole : the same oar in its lock before it is cut; None where there is none
    material : what the file says that it is made of
    """
    rig = beam.shaft.rig
    if not isinstance(rig, Hinged):
        return
    yield from _faces(beam, rig, whole)
    yield from _lengths(beam.shaft, rig, whole)
    yield from _ends_meet(rig)
    if float(rig.restart) > float(rig.saw):
        yield from _may_be_cut(beam.shaft, rig, material)
        yield _undone(beam.shaft, rig, whole)


def _stretched(beam: Beam, x: float) -> str:
    """Return the face that the greatest pull stretches at a place."""
    return "aft" if float(beam.at(np.array([[x]])).moment_stroke[beam.case("once"), 0]) > 0.0 else "forward"


def _faces(beam: Beam, rig: Hinged, whole: Beam | None) -> Iterator[Note]:
    now = {
        "inner": _stretched(beam, float(rig.inner_from) - 1e-6),
        "outer": _stretched(beam, float(rig.outer_to) + 1e-6),
    }
    text = "in the stroke the inner half's {inner} face is stretched and the outer half's {outer} face"
    if whole is None:
        text += (
            "; in a one-piece oar it is the aft face all along. The faces swap when backing, and when a blade is caught"
        )
        yield Note(grade="stretched faces", text=said(text, **now), origin="statics, hand and blade move the same way")
        return
    old = {
        "inner": _stretched(whole, float(rig.inner_from)),
        "outer": _stretched(whole, float(rig.outer_to)),
    }
    same = [which for which in now if now[which] == old[which]]
    turned = [which for which in now if now[which] != old[which]]
    text += "; in the whole oar it was the {was} face"
    was = f"{old['inner']}" if old["inner"] == old["outer"] else f"{old['inner']} and the {old['outer']}"
    yield Note(
        grade="stretched faces",
        text=said(text, **now, was=was),
        origin="statics, hand and blade move the same way",
    )
    for which in turned:
        yield Note(
            grade="better so",
            text=said(
                "roll the {which} half over, half a turn about its own axis: its {old} face has been stretched all its "
                "life and its {new} face pressed, and small creases lie on a pressed face, where they now would be "
                "pulled open. Turned, it bends as it is used to; what lies on its faces, a scarf's tips too, then "
                "lies on the opposite ones. The {same} half stays as it is",
                which=which,
                old=old[which],
                new=now[which],
                same=" and the ".join(same) or "other",
            ),
            origin=f"statics; {_PRACTICE}",
        )
    for flaw in beam.shaft.flaws:
        middle = float(flaw.start + flaw.end) / 2.0
        which = "inner" if middle <= float(rig.saw) else "outer"
        if flaw.face not in _ACROSS or float(rig.saw) < middle < float(rig.restart):
            continue
        if flaw.face in ("upper", "lower"):
            fate = "at the side of the stroke, hardly bent by it"
        else:
            fate = "stretched in the stroke" if flaw.face == now[which] else "pressed in the stroke"
            if which in turned:
                was_then = "pressed" if flaw.face == now[which] else "stretched"
                fate += f", where it was {was_then}; the other way round once turned"
        yield Note(
            grade="stretched faces",
            text=said(
                "the {kind} on the {which} half's {face} face, {start} to {end} from the handle end: {fate}",
                kind=flaw.kind,
                which=which,
                face=flaw.face,
                start=sized(flaw.start),
                end=sized(flaw.end),
                fate=fate,
            ),
            origin="the shaft file, and statics",
        )


def _size(shaft: Shaft, x: float) -> tuple[float, float]:
    depth, width, _, _ = (float(v[0, 0]) for v in section_at(np.array([[x]]), shaft.stations))
    return depth, width


def _lengths(shaft: Shaft, rig: Hinged, whole: Beam | None) -> Iterator[Note]:
    saw, restart, tip = float(rig.saw), float(rig.restart), float(shaft.length)
    kerf = restart - saw
    inner, outer = saw - float(rig.inner_from), float(rig.outer_to) - restart
    sawn = "the saw takes {kerf}, and the outer half is {long} long" if kerf > 0.0 else "the outer half is {long} long"
    kerfs = {"kerf": sized(kerf)} if kerf > 0.0 else {}
    yield Note(
        grade="marking out",
        text=said(
            f"the inner half is {{saw}} long, {sawn}. The cradles swallow {{inner}} of the inner half and {{outer}} of "
            "the outer; {free} and {far} stand free of them",
            saw=sized(saw),
            long=sized(tip - restart),
            inner=sized(inner),
            outer=sized(outer),
            free=sized(saw - inner),
            far=sized(tip - restart - outer),
            **kerfs,
        ),
        origin="geometry",
    )
    a, b = float(rig.inner_pin - rig.hand), float(shaft.blade.centroid - rig.outer_pin)
    levers = "levers: hand to inner pin {a}, outer pin to the blade's middle {b}, the outer half swinging {r} times"
    parts: dict[str, Size | str] = {"a": sized(a), "b": sized(b), "r": f"{float(rig.ratio):.3g}"}
    if whole is not None and isinstance(whole.shaft.rig, OnePiece):
        lock = whole.shaft.rig
        levers += "; in the lock they were {a_was} and {b_was}"
        parts |= {"a_was": sized(lock.lock - lock.hand), "b_was": sized(whole.shaft.blade.centroid - lock.lock)}
    yield Note(grade="marking out", text=said(levers, **parts), origin="geometry")
    places = (float(rig.inner_from), saw, restart, float(rig.outer_to))
    names = ("mouth", "end", "end_o", "mouth_o")
    sizes = {n: _size(shaft, x) for n, x in zip(names, places, strict=True)}
    yield Note(
        grade="marking out",
        text=said(
            "in the inner cradle the shaft is {mouth_d} by {mouth_w} at the mouth and {end_d} by {end_w} at its end; "
            "in the outer {end_o_d} by {end_o_w} at its end and {mouth_o_d} by {mouth_o_w} at the mouth (fore and aft "
            "by up and down)",
            **{f"{n}_{k}": sized(v) for n, pair in sizes.items() for k, v in zip("dw", pair, strict=True)},
        ),
        origin="geometry",
    )


def _ends_meet(rig: Hinged) -> Iterator[Note]:
    """Yield that the ends behind the pins run into each other, where they do."""
    behind, before = float(rig.inner_to - rig.inner_pin), float(rig.outer_pin - rig.outer_from)
    if behind + before > float(rig.spacing):
        yield Note(
            grade="caution",
            text=said(
                "behind its pin the inner half reaches {behind} outboard and the outer half {before} inboard, {sum} "
                "together, and the pins stand {spacing} apart: on one level the ends meet. One half must lie above the "
                "other, or measure pins and ends again",
                behind=sized(behind),
                before=sized(before),
                sum=sized(behind + before),
                spacing=sized(rig.spacing),
            ),
            origin="geometry, both halves in line",
        )


def _apart(a0: float, a1: float, b0: float, b1: float) -> float:
    """Return how far two stretches are apart [m]; below zero where they overlap."""
    return max(b0 - a1, a0 - b1)


def _may_be_cut(shaft: Shaft, rig: Hinged, material: str) -> Iterator[Note]:
    """Yield whether what is to be cut may be cut, by how it is made and what is near."""
    halves = (("inner", rig.inner_from, rig.saw), ("outer", rig.outer_to, rig.restart))
    hollow = any(math.isfinite(float(s.wall)) for s in shaft.stations)
    if float(shaft.timber) != 1.0:
        words = said(
            "a {material} is not to be cut on this answer: sawn, it is open at the end and soft round its wall. It "
            "needs a sleeve over it or a plug in it in each cradle, and its maker's word",
            material=material,
        )
    elif hollow:
        need = {which: abs(float(mouth - end)) + _size(shaft, float(mouth))[0] for which, mouth, end in halves}
        words = said(
            "hollow: before it is clamped each half needs a solid plug glued in, at least as long as the cradle and a "
            "depth beyond, tapered at its far end: {inner} in the inner half, {outer} in the outer. Seal their ends",
            inner=sized(need["inner"], side="up"),
            outer=sized(need["outer"], side="up"),
        )
    elif material == "glued up":
        words = said(
            "glued up: it may be cut if the seams run along it and are sound. Look at both sawn ends: a seam that "
            "shows or opens must not be clamped; the glue must be structural and stand water"
        )
    else:
        words = said("solid timber: it may be cut")
    yield Note(grade="the cut", text=words, origin=_PRACTICE)
    near, far = float(rig.inner_from), float(rig.outer_to)
    for j in shaft.joints:
        start, end = float(j.start), float(j.end)
        gap = _apart(start, end, near, far)
        if gap < end - start:
            how = "over the cradles, where none may lie" if gap < 0.0 else "less than its own length from the cradles"
            yield Note(
                grade="the cut",
                text=said(
                    "the {kind} from {start} to {end} lies {how}",
                    kind=j.kind,
                    start=sized(start),
                    end=sized(end),
                    how=how,
                ),
                origin="no fitting over a splice, FAA AC 43.13-1B (1998) 1-40; its own length clear: " + _PRACTICE,
            )
    for flaw in shaft.flaws:
        if flaw.kind != "crease" and _apart(float(flaw.start), float(flaw.end), near, far) < 0.0:
            what = (
                "take it off and look at the wood below it; tell its tack holes as flaws"
                if flaw.kind in ("leather", "ferrule")
                else "fill and seal it: water that gets in under a clamp stays there"
            )
            yield Note(
                grade="the cut",
                text=said(
                    "in a cradle's grip: the {kind} from {start} to {end}; {what}",
                    kind=flaw.kind,
                    start=sized(flaw.start),
                    end=sized(flaw.end),
                    what=what,
                ),
                origin=_PRACTICE,
            )


def _undone(shaft: Shaft, rig: Hinged, whole: Beam | None) -> Note:
    """Return whether and how the halves could be made one again, and what that costs in length."""
    saw, kerf = float(rig.saw), float(rig.restart - rig.saw)
    through = min(_size(shaft, saw))
    scarf = 12.0 * through
    text = (
        "it can't be undone, but be joined again: by a sleeve over both halves, each four of its diameters in it "
        "({sleeve} of sleeve), at the cost of the kerf, {kerf}; or by a scarf of 1:12 through its lesser size, {scarf} "
        "long, which leaves an oar {shorter} shorter"
    )
    lock = whole.shaft.rig if whole is not None else None
    if isinstance(lock, OnePiece):
        over = _apart(saw - scarf, saw, float(lock.lock - lock.seat / 2.0), float(lock.lock + lock.seat / 2.0)) < 0.0
        text += (
            ". In its old lock it could then not work: the lock would press on the sleeve or the scarf, where none may"
            if over
            else ". Either must be clear of the lock, and checked as a joint of its own"
        )
    return Note(
        grade="the cut",
        text=said(
            text,
            sleeve=sized(8.0 * max(_size(shaft, saw))),
            kerf=sized(kerf),
            scarf=sized(scarf),
            shorter=sized(kerf + scarf),
        ),
        origin=f"overlap of three to six diameters: {_PRACTICE}; 1:12, Wood Handbook FPL-GTR-190 ch. 10",
    )
