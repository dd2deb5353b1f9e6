"""The verdict in words: two sentences fit to be said aloud, and what was measured beside what is computed."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from shaftcheck.border.shaftfile import Reading
from shaftcheck.border.shown import System, pull, show
from shaftcheck.checks import JOINTS
from shaftcheck.measured import sags_of
from shaftcheck.model import Hinged
from shaftcheck.outcome import Advice, Line, Measured, Oar
from shaftcheck.pulls import untold
from shaftcheck.said import percent, used
from shaftcheck.settle import Settled
from shaftcheck.words import FAILS, KINDS

__all__ = ["measured", "of_place", "sentences"]


def sentences(
    state: str,
    lines: Sequence[Line],
    pulls: Mapping[str, float],
    advice: Sequence[Advice],
    settled: Settled,
    system: System,
    alone: bool,
) -> tuple[str, str]:
    """Return the verdict in two sentences fit to be said aloud.

    Parameters
    ----------
    alone : whether pulls are said in the units of the system alone
    """
    worst = max((line for line in lines if not math.isnan(line.use)), key=lambda line: line.use, default=None)
    if worst is None:
        return "Not settled: nothing that matters is known of this shaft.", "Do not work, cut or glue on this answer."
    lowered = settled.built.lowered
    own = settled.built.own / lowered
    laxer = f" with your own laxer divisor of {own:g}" if own < 1.0 - 1e-9 else ""
    if lowered > 1.0:
        laxer += f" with its strength taken {percent(1.0 - 1.0 / lowered, 'up')} lower, as you measured it,"
    where = f"{worst.place}, {show(worst.x, 'length', system)} from the handle end"
    when = f" {worst.when}" if worst.when else ""
    beyond = math.isinf(worst.use)
    most = f"{used(worst.use)}{when}"
    open_parts = " and ".join(dict.fromkeys(line.check for line in lines if not line.known))
    once, steady = (pull(pulls[key], system, alone=alone) for key in ("once", "steady"))
    good = f"work to {once} once and {steady} every stroke"
    if math.isnan(pulls["once"]):
        good = untold(lines) or "no pull can be told"
    if pulls["once"] == 0.0:
        good = "good for no pull as it is"
    if state == "HOLDS":
        whatever = f" {settled.hangs}" if settled.hangs else ""
        first = f"It holds{laxer}{whatever}: its weakest place is {where}, {most}."
        return first, f"{_capital(good)}; nothing needs changing."
    if state == "FALLS SHORT":
        whatever = f" {settled.hangs}," if settled.hangs else ""
        asks = "" if beyond else f", at {percent(worst.use, 'up')} of what it may carry"
        first = f"It falls short{laxer}{whatever} {where}: there it {_fails(worst)}{asks}."
        mended = [a for a in advice if not a.anew]
        change = f"to make it hold: {'; or '.join(a.short for a in (mended or advice)[:2])}"
        if advice and not mended:
            cut = " cut here" if isinstance(settled.built.shaft.rig, Hinged) else ""
            anew = "; or ".join(a.anew for a in advice[:2])
            change = f"nothing that was tried makes this stick hold{cut}: a new one would need {anew}"
        if not advice:
            change = "no single change that was tried makes it hold"
            if any(of_place(line.check) and line.use > 1.0 for line in lines):
                change = (
                    "first move the joint that lies where none may (`shaftcheck where` finds places), then ask again"
                )
        unchecked = f"; and {open_parts} must still be checked" if open_parts else ""
        return first, f"{_capital(good)}; {change}{unchecked}."
    if open_parts:
        first = (
            f"Not settled{laxer}: {open_parts} must be checked and was not; of what was checked, the weakest place is "
            f"{where}, {most}."
        )
        return first, f"{_capital(good)}; do not cut or glue on this answer."
    first = f"Not settled{laxer}: {settled.hangs}; at the worst of it the weakest place is {where}, {most}."
    return first, f"At the worst of it {good}; to settle most, find out {settled.measure}."


def of_place(check: str) -> bool:
    """Return whether a comparison is a joint's rule of place."""
    return any(check.startswith(f"{kind}, clear of") for kind in JOINTS)


def _capital(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}"


def _fails(line: Line) -> str:
    """Return what happens there, and when."""
    words, when = FAILS.get(line.check, ""), f" {line.when}" if line.when else ""
    if line.kind == "wears out":  # its words tell when
        return words or f"wears out before its life's strokes are done ({_plain(line.check)})"
    return f"{words or f'{KINDS.get(line.kind, line.kind)} ({_plain(line.check)})'}{when}"


def _plain(check: str) -> str:
    """Return a check's name without brackets of its own."""
    return check.replace(" (", ", ").replace(")", "")


def measured(reading: Reading, oar: Oar) -> tuple[Measured, ...]:
    """Return what was measured beside what is computed."""
    values = {e.path: e.value for e in reading.entries.values()}
    weight, balance = (values.get(f"measured.{k}") for k in ("weight", "balance"))
    out = []
    if weight is not None:
        out.append(Measured("weight", "mass", float(weight), float(oar.whole.mass)))
    if balance is not None:
        out.append(Measured("balance point", "length", float(balance), float(oar.whole.balance)))
    sags = sags_of(reading, oar.shaft)
    if sags is not None:
        out.append(Measured("sag", "length", *sags))
    return tuple(out)
