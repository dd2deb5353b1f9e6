"""Cut this oar here, leave it whole, or order one made for it: three answers side by side."""

from __future__ import annotations

import math
from dataclasses import replace

from shaftcheck.border.assemble import Built
from shaftcheck.border.shaftfile import Reading
from shaftcheck.border.wood_cards import model_wood
from shaftcheck.border.woods import find
from shaftcheck.model import Hinged, OnePiece, number
from shaftcheck.outcome import Oar, Option
from shaftcheck.said import Said, said, sized
from shaftcheck.strength import STRAIGHT
from shaftcheck.studies.purpose import Purpose, purpose

__all__ = ["HARD", "LIGHT", "made", "options"]

HARD: dict[str, str] = {
    "White ash": "hard across the grain and tough, the usual hard wood of oars",
    "White oak": "hard, and stands the wet best of the three",
    "Black locust": "hardest across the grain; nothing is known here of how it takes glue",
}
"""woods that are tried through the cradles, and why (common practice, no source; figures from the tables)"""
LIGHT: dict[str, str] = {
    "Sitka spruce (US)": "lightest for its stiffness",
    "Port-Orford-cedar": "stiffer and a little heavier than spruce, and stands the wet",
    "Douglas-fir (coast)": "stronger and heavier than spruce",
}
"""woods that are tried beyond the scarf, and why"""


_ORDERED = (
    said(
        "made to order: clear straight wood, run-out 1:20, no flaws; the scarf with a resorcinol glue of which a "
        "sample was broken"
    ),
)
"""what is taken for granted of a stick that is ordered"""


def made(reading: Reading, built: Built) -> tuple[Built, Purpose] | None:
    """Return what would be ordered in place of a cut oar: the same outer shape, of two woods with one scarf.

    None where there is no room for the scarf between outer cradle and blade.
    """
    hard, light = ([model_wood(find(name)) for name in names] for names in (HARD, LIGHT))
    best = purpose(
        built.shaft,
        hard,
        light,
        own=number(built.own),
        runout=STRAIGHT,
        blade_follows="oar.blade_weight" not in reading.entries,
    )
    if best is None:
        return None
    return replace(built, shaft=best.shaft, assumptions=(*built.assumptions, *_ORDERED)), best


def options(whole: Oar, cut: Oar, ordered: tuple[Oar, Purpose] | None) -> tuple[Option, ...]:
    """Return what may be done with the oar: each as it was checked."""
    rig, lock = cut.shaft.rig, whole.shaft.rig
    assert isinstance(rig, Hinged)
    assert isinstance(lock, OnePiece)
    out = [
        _option(
            "cut this oar here",
            cut,
            said("sawn {saw} from the handle end", saw=sized(rig.saw)),
        ),
        _option("leave it whole", whole, said("in its lock, {lock} from the handle end", lock=sized(lock.lock))),
    ]
    if ordered is not None:
        out.append(_option("order it purpose-made", ordered[0], *_words(*ordered)))
    return tuple(out)


def _option(label: str, oar: Oar, *words: Said) -> Option:
    known = [line for line in oar.lines if not math.isnan(line.use)]
    return Option(
        label=label,
        state=oar.state,
        once=oar.pulls["once"],
        steady=oar.pulls["steady"],
        weakest=max(known, key=lambda line: line.use, default=None),
        mass=float(oar.whole.mass),
        words=words,
        second=oar.sentences[1],
        spoken=oar.spoken[1],
    )


def _words(oar: Oar, p: Purpose) -> tuple[Said, ...]:
    hard, light = list(HARD)[p.hard], list(LIGHT)[p.light]
    held = (
        "the lightest of those that were tried, lightest first, and the first that holds ({tried} tried)"
        if p.holds
        else "none of the {tried} that were tried holds, and this one comes nearest"
    )
    return (
        said(
            "{hard} inboard and through both cradles, {light} outboard; a scarf of 1:12 cut through {way}, {face}, "
            "from {start} to {end} with its middle at {middle}, {clear} clear of the outer cradle. Of three hard woods "
            f"and three light ones, each way of the scarf, it is {held}",
            hard=hard,
            light=light,
            way="fore and aft" if p.through_depth else "up and down",
            face=_tip(oar, light),
            start=sized(p.start),
            end=sized(p.end),
            middle=sized(p.middle),
            clear=sized(p.clear, side="down"),
            tried=str(p.tried),
        ),
        said(
            "why these: {hard} is {why_hard}; {light} is {why_light}. Tried: {hards}; and {lights}",
            hard=hard,
            why_hard=HARD[hard],
            light=light,
            why_light=LIGHT[light],
            hards=", ".join(HARD),
            lights=", ".join(LIGHT),
        ),
    )


def _tip(oar: Oar, light: str) -> str:
    """Return on which face the light wood's feather edge lies."""
    (scarf,) = oar.shaft.joints
    through, face = float(scarf.through_depth), float(scarf.face)  # type: ignore[attr-defined]
    names = ("aft", "forward") if through == 1.0 else ("lower", "upper")
    return f"the {light}'s feather edge on the {names[0] if face > 0.0 else names[1]} face"
