"""What pulls a shaft is good for: a set that holds as one, not each of them beside the others as they are asked.

The pulls of all strokes act in one life, so what wears out adds them up; and the push in backing, and what the hands
hold of a caught blade where the handle is free, grow with the greatest pull.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from shaftcheck import engine
from shaftcheck.beam import Beam
from shaftcheck.loads import PULLED, loaded
from shaftcheck.loads.rowers import PUSH_OVER_PULL
from shaftcheck.model import Array, Rower, number
from shaftcheck.outcome import CaseLine, Line

__all__ = ["STROKES", "barred_by", "pulls_to_work_to", "untold"]

STROKES = ("once", "start", "hard", "steady")
"""load cases of which a pull to work to is told"""
_CLOSE = 1e-6
"""part by which the worst use of a set of pulls may stay below 1 [-]"""


def pulls_to_work_to(beam: Beam, x: Array, lines: Sequence[Line], cases: Sequence[CaseLine]) -> dict[str, float]:
    """Return what a shaft is good for, by stroke [N]: nan where a part is not known or not checked, none where barred.

    The set holds as one, and so does each of them with the others as they are asked: each by what it may be alone,
    then all by one common factor, none of them below what holds as it is asked.

    Parameters
    ----------
    beam : of a single shaft, batch shape (), under the loads that it must hold
    x : (1, points) - where it is looked at [m]
    lines, cases : what was found of it
    """
    asked = {c.key: float(c.pull) for c in beam.cases if c.key in STROKES}
    if any(not line.known for line in lines):
        return dict.fromkeys(asked, math.nan)
    if barred_by(lines):
        return dict.fromkeys(asked, 0.0)
    use = {c.case: c.use for c in cases}
    life = max((line.use for line in lines if line.kind == "wears out"), default=0.0)
    grown = [key for key in (*asked, "back", *_caught(beam)) if key in use]
    worst = max(life, *(use[key] for key in grown))
    if not 0.0 < worst < math.inf or not all(asked.values()):
        return {key: _over(pull, max(use[key], life)) for key, pull in asked.items()}
    base = {key: pull if worst <= 1.0 else pull / worst * (1.0 - _CLOSE) for key, pull in asked.items()}
    held = float(beam.shaft.rower.back) / PUSH_OVER_PULL if worst <= 1.0 else 0.0
    alone = {key: _over(pull, use[key] if key == "once" else max(use[key], life)) for key, pull in asked.items()}
    alone["once"] = max(min(alone["once"], _by_backing(beam, use["back"]), _by_caught(beam, use)), base["once"])
    for light, heavy in zip(STROKES[1:], STROKES, strict=False):
        alone[light] = max(min(alone[light], alone[heavy]), base[light])
    return _as_one(beam, x, base, worst, alone, held)


def _as_one(
    beam: Beam, x: Array, base: Mapping[str, float], worst_at_base: float, alone: Mapping[str, float], held: float
) -> dict[str, float]:
    """Return the greatest pulls in one proportion to what each may be alone, and not below a base, that hold as one."""

    def at(factor: float) -> dict[str, float]:
        return {key: max(base[key], factor * pull) for key, pull in alone.items()}

    f = 1.0
    worst = _worst(beam, x, at(f), held)
    if worst > 1.0:  # where all shrink with the factor, one step lands on it
        low, below = min(base[key] / pull for key, pull in alone.items()), min(worst_at_base, 1.0)
        high, above = f, worst
        for k in range(20):
            f = high / above if k == 0 else low + (high - low) * (1.0 - below) / (above - below)
            f = f if low < f < high and k % 4 < 3 else (low + high) / 2.0
            worst = _worst(beam, x, at(f), held)
            if worst > 1.0:
                high, above = f, worst
            else:
                low, below = f, worst
            if abs(worst - 1.0) <= _CLOSE or high - low <= _CLOSE:
                break
        f = f if worst <= 1.0 + _CLOSE else low
    closer = _worst(beam, None, at(f), held)
    less = (1.0 - _CLOSE) / closer if closer > 1.0 else 1.0
    return {key: max(base[key], v * less) for key, v in at(f).items()}


def _worst(beam: Beam, x: Array | None, pulls: Mapping[str, float], held: float) -> float:
    """Return the worst use of what pulls bring about, and of what wears out, under other pulls [N].

    Parameters
    ----------
    x : where it is looked at [m]; about the worst places anew if not given
    held : a greatest pull that backing and the hands on a caught blade are at least of [N]
    """
    again = _under(beam, pulls, held)
    grown = {again.case(key) for key in (*pulls, "back", *_caught(again))}
    worst = 0.0
    for u in engine.uses(again, engine.refined(again) if x is None else x):
        rows = range(u.use.shape[-2]) if u.cases is None else u.cases
        if u.cases is None and u.use.shape[-2] == 1:
            found = u.use if u.kind == "wears out" else number(0.0)
        else:
            found = u.use[..., [i for i, row in enumerate(rows) if row in grown], :]
        worst = max(worst, float(np.max(found, initial=0.0)))
    return worst


def _under(beam: Beam, pulls: Mapping[str, float], held: float) -> Beam:
    """Return the shaft under other pulls, and what else wears it out."""
    back = max(pulls["once"], held) * PUSH_OVER_PULL
    told: Rower = replace(beam.shaft.rower, back=number(back), **{key: number(v) for key, v in pulls.items()})
    return loaded(replace(beam.shaft, rower=told), beam.own, PULLED)


def _caught(beam: Beam) -> tuple[str, ...]:
    """Return the case of a caught blade where the hands hold it, which grows with the greatest pull."""
    return ("caught",) if float(beam.shaft.duty.handle_free) == 1.0 else ()


def _by_backing(beam: Beam, use: float) -> float:
    """Return the greatest pull whose push in backing is just met [N]."""
    return _over(float(beam.shaft.rower.back) / PUSH_OVER_PULL, use)


def _by_caught(beam: Beam, use: Mapping[str, float]) -> float:
    """Return the greatest pull at which the hands hold just what a caught blade may bear [N]."""
    if not _caught(beam):
        return math.inf
    few, most = (
        float(again.cases[again.case("caught")].driver)
        for again in (_under(beam, dict.fromkeys(STROKES, pull), 0.0) for pull in (1.0, 1e9))
    )
    bears = _over(float(beam.cases[beam.case("caught")].driver), use["caught"])
    return bears / few if bears < most else math.inf


def _over(load: float, use: float) -> float:
    return load / use if use > 0.0 else math.inf


def barred_by(lines: Sequence[Line]) -> tuple[str, ...]:
    """Return what is over its limit before anybody pulls: a rule of place or make, a crease, a clamp that stands."""
    over = (x for x in lines if not x.case and (x.use > 1.0 if x.kind != "wears out" else math.isinf(x.use)))
    return tuple(dict.fromkeys(x.check for x in over))


def untold(lines: Sequence[Line]) -> str:
    """Return why no pull can be told; nothing where one can."""
    names = tuple(dict.fromkeys(line.check for line in lines if not line.known))
    are = "is" if len(names) == 1 else "are"
    return f"no pull can be told while {' and '.join(names)} {are} not checked" if names else ""
