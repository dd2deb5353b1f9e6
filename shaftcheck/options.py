"""Cut this oar here, leave it whole, or order one made for it: three answers side by side."""

from __future__ import annotations

import math
from contextlib import suppress
from dataclasses import replace

import numpy as np

from shaftcheck.border.assemble import Built
from shaftcheck.border.shaftfile import Reading
from shaftcheck.border.wood_cards import model_wood
from shaftcheck.border.woods import find
from shaftcheck.errors import AbsentError
from shaftcheck.measured import Lower
from shaftcheck.model import Hinged, OnePiece, Shaft, number
from shaftcheck.outcome import Oar, Option
from shaftcheck.pulls import untold
from shaftcheck.said import Said, said, sized
from shaftcheck.settle import Settled, every, settle
from shaftcheck.strength import STRAIGHT
from shaftcheck.studies.purpose import Purpose, again, purpose
from shaftcheck.studies.rulers import INCHES, METRIC

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


ORDERED = said(
    "made to order, and taken for granted: clear straight wood all through, run-out 1:20, no flaws; the scarf with a "
    "resorcinol glue of which a sample was broken; its outer shape, the rig and all else as told"
)
"""what is taken for granted of a stick that is ordered"""
AT_MOST = 9
"""of the combinations of unknown inputs, so many are looked at for a make that holds"""


def made(reading: Reading, settled: Settled, before: Lower) -> tuple[Settled, Purpose] | None:
    """Return what would be ordered in place of a cut oar: the same outer shape, of two woods with one scarf.

    What is unknown of the rig is unknown of this one too, and it is tried at all that they may be.

    Parameters
    ----------
    settled : the cut oar
    before : what was measured of the oar that is cut

    Returns
    -------
    None where there is no room for the scarf between outer cradle and blade.
    """
    hard, light = ([model_wood(find(name)) for name in names] for names in (HARD, LIGHT))
    follows = "oar.blade_weight" not in reading.entries

    mark = (INCHES if reading.system == "inches" else METRIC).mark

    def best_of(built: Built) -> Purpose | None:
        own = number(built.own)
        return purpose(built.shaft, hard, light, own=own, runout=STRAIGHT, blade_follows=follows, mark=mark)

    best = best_of(settled.built)
    if best is None:
        return None
    if not settled.unknowns:
        return Settled(_of(settled.built, best.shaft)), best
    if not best.holds:  # at the worst of what is unknown: one that holds at some of it
        rest = every(reading, before)
        rest = [rest[round(k)] for k in np.linspace(0, len(rest) - 1, min(len(rest), AT_MOST))]
        best = next((p for b in rest if (p := best_of(b)) is not None and p.holds), best)
    chosen = best

    def remade(built: Built) -> Built:
        shaft = again(chosen, built.shaft, hard, light, runout=STRAIGHT, blade_follows=follows, mark=mark)
        if shaft is None:
            raise AbsentError
        return _of(built, shaft)

    with suppress(AbsentError):
        return settle(reading, None, before, remade), best
    return None


def _of(built: Built, shaft: Shaft) -> Built:
    return replace(built, shaft=shaft, assumptions=(*built.assumptions, ORDERED))


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
        untold=untold(oar.lines),
        weakest=max(known, key=lambda line: line.use, default=None),
        mass=float(oar.whole.mass),
        words=words,
        second=oar.sentences[1],
        spoken=oar.spoken[1],
    )


def _words(oar: Oar, p: Purpose) -> tuple[Said, ...]:
    hard, light = list(HARD)[p.hard], list(LIGHT)[p.light]
    held = "none of the {tried} that were tried holds, and it comes nearest"
    if oar.state != "FALLS SHORT":
        some = "" if oar.state == "HOLDS" else " with some of what is not known"
        held = f"it is the lightest that holds{some} ({{tried}} tried, the lightest first)"
    if oar.state == "NOT SETTLED" and not p.holds:
        held = "it comes nearest ({tried} tried)"
    return (
        said(
            "{hard} inboard and through both cradles, {light} outboard; a scarf of 1:12 cut through {way}, {face}, "
            "from {start} to {end} with its middle at {middle}, {clear} clear of the outer cradle. Of three hard woods "
            f"and three light ones, each way of the scarf, {held}",
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
        ORDERED,
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
