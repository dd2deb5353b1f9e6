"""Test it on the bench: what may hang where, how far it sags, and what a measured sag says of the wood."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any, TypeVar

import numpy as np

from shaftcheck.border.shaftfile import Reading
from shaftcheck.border.shown import System, axis, say, show
from shaftcheck.errors import Fault, InputError
from shaftcheck.key import Key
from shaftcheck.loads import loaded
from shaftcheck.measured import sags_of
from shaftcheck.model import Array, Hinged, Shaft, number
from shaftcheck.movement import give
from shaftcheck.questions.question import Asked, Curve, Finding, Mark, Picture, Question, Table, numbers, ready
from shaftcheck.said import percent
from shaftcheck.strength import Z95
from shaftcheck.studies.bench import Proof, exponent_of_stiffness, proof, stiffness_told, strength_told
from shaftcheck.whole import pull_to_break, whole
from shaftcheck.words import near

__all__ = ["QUESTION"]

T = TypeVar("T", float, Array)
_STEPS = (0.25, 0.5, 0.75, 1.0)
"""parts of the weight in which it is hung (judgement)"""
_ANOTHER = (
    "the oar as changed: a test of the oar as it stands is another one, asked of the file without its [change]; what "
    "is measured before the change goes under [measured]"
)
_STOPS = (
    "Lie it with the aft face up (the inner half of a hinged rig with its forward face up), pads of leather or wood at "
    "every support, a soft floor a hand's breadth under the weight, nobody beside or below it, eyes covered.",
    "Stop at a crack or a creak, at a line across the fibres on the lower face, where the sag grows while the weight "
    "hangs, where a step sags a quarter more than the one before, or where it does not come back to the mark within "
    "two minutes; then the shaft has failed the test: do not use it.",
    "A test passed proves this weight this once and wears the shaft a little; it says nothing of a life of strokes, of "
    "the other face, or of damage that comes later. Do not test twice a day for comfort.",
)


def _ask(asked: Asked) -> Finding:
    reading, built, _ = ready(asked)
    system = asked.system or reading.system
    shaft = built.shaft
    error = float(asked.options["tape"])
    _reachable(shaft, asked.size("hang_at"), system)
    found = proof(shaft, number(built.own), asked.size("hang_at"))
    bearing = [p for p in found if p.mass > 0.0]  # not where one is not known, nor where none may hang
    open_ = list(dict.fromkeys(name for p in found for name in p.unknown))
    tables = [_steps(p, error, system) for p in bearing]
    data: dict[str, Any] = {"setups": [_record(p) for p in found], "tape": numbers(error, "m"), "not_known": open_}
    said = _sentence(found, shaft, open_, system)
    change = "change" in asked.docs[0][1]
    before, as_it_stands, _ = ready(replace(asked, changed=False)) if change else (reading, built, {})
    told = _told(before, as_it_stands.shaft, error)  # what was measured is of the oar that a change is made of
    if told:
        table, more, words = _back(told, as_it_stands.shaft, system)
        tables.append(replace(table, title=f"{table.title}, of the oar as it stands") if change else table)
        data["measured"] = more
        said += f" {words}"
    return Finding(
        question="bench-test",
        title=reading.title or reading.name,
        sentence=said,
        answered=not open_ and len(bearing) == len(found),
        system=system,
        tables=tuple(tables),
        pictures=tuple(_picture(p, error, system) for p in bearing),
        data=data,
        searched=(
            "the greatest weight, to 5 g, at which every check of the shaft and its joints for a short pull, the lower "
            "5 % of the crushing strength at the moisture in use (above it creases form that nobody sees), and 0.4 of "
            "the mean bending strength are met",
            *((_ANOTHER,) if change else ()),
        ),
        assumptions=tuple(say(s, system) for s in built.assumptions),
        cautions=_STOPS,
        winners=(),
    )


def _reachable(shaft: Shaft, at: float | None, system: System) -> None:
    """Find a weight that would hang where it bends nothing outboard."""
    rig = shaft.rig
    inner = float(rig.outer_to if isinstance(rig, Hinged) else rig.lock + rig.seat / 2.0)
    tip = float(shaft.blade.tip)
    if at is not None and not inner < at <= tip:
        low, high = show(inner, "length", system, side="up"), show(tip, "length", system, side="down")
        wrong = f"{show(at, 'length', system)} is not outboard of what holds the shaft"
        raise InputError("bench-test", [Fault("hang_at", wrong, f"write a place beyond {low}, at most {high}")])


def _kg(value: float, system: System) -> str:
    return show(value, "mass", system, side="down")


def _sentence(found: tuple[Proof, ...], shaft: Shaft, open_: list[str], system: System) -> str:
    if open_:
        return f"Hang nothing on it: {', '.join(open_)} is not known, so no weight is known to be harmless."
    out = []
    for p in found:
        if p.mass == 0.0:
            out.append(f"Hang nothing on {p.part}: {p.governs} allows none.")
            continue
        how = "in its cradle" if isinstance(shaft.rig, Hinged) else "on the lock's place and held down at the hand"
        out.append(
            f"{p.part[0].upper()}{p.part[1:]}, {how}: hang at most {_kg(p.mass, system)} at "
            f"{show(p.at, 'length', system)} from the handle end, as a pull of {show(p.pull, 'force', system)} at the "
            f"hand would bend it; it should sag about {show(p.mass * p.sag_held, 'length', system)}. No more for the "
            f"sake of {p.governs} {near(shaft, p.x)}."
        )
    return " ".join(out)


def _steps(p: Proof, error: float, system: System) -> Table:
    two = p.sag_held != p.sag_clamped
    rows = []
    for part in _STEPS:
        mass = p.mass * part
        row = [_kg(mass, system)]
        for sag in (p.sag_held, p.sag_clamped) if two else (p.sag_held,):
            s = mass * sag
            low, high = _band(s, p)
            row += [
                show(s, "length", system),
                f"{show(low, 'length', system)} to {show(high, 'length', system)}",
            ]
        row.append(percent(error / (mass * p.sag_held)) if mass > 0.0 else "")
        rows.append(tuple(row))
    heads = ["hang"]
    for name in ("resting, hand held", "clamped at the lock") if two else ("in the cradle",):
        heads += [f"sag, {name}", "9 of 10 boards"]
    return Table(
        title=f"{p.part[0].upper()}{p.part[1:]}: hung at {show(p.at, 'length', system)} from the handle end, in four "
        "steps of a minute; sag from the mark without the weight, at the weight"
        + (
            f". How the handle is held matters: clamped it sags {percent(p.sag_clamped / p.sag_held)} of resting"
            if two
            else ""
        ),
        heads=(*heads, "tape's error"),
        rows=tuple(rows),
        numeric=tuple(range(len(heads) + 1)),
    )


def _band(sag: T, p: Proof) -> tuple[T, T]:
    """Return the sags between which 9 of 10 boards lie: lognormal scatter of the stiffness about its mean."""
    wide = math.exp(Z95 * math.sqrt(math.log1p(p.scatter**2)))
    return sag / wide, sag * wide


def _record(p: Proof) -> dict[str, Any]:
    return {
        "part": p.part,
        "at": numbers(p.at, "m"),
        "hang_at_most": numbers(p.mass, "kg"),
        "limited_by": p.governs,
        "from_handle_end": numbers(p.x, "m"),
        "sag_held_at_the_hand": numbers(p.sag_held, "m/kg"),
        "sag_clamped": numbers(p.sag_clamped, "m/kg"),
        "as_a_pull_of": numbers(p.pull, "N"),
        "part_used_by_own_weight": numbers(p.own_weight, ""),
    }


def _picture(p: Proof, error: float, system: System) -> Picture:
    (of_sag, length), (of_weight, mass) = axis("length", system), axis("mass", system)
    m = np.linspace(0.0, p.mass, 21)

    def curve(label: str, sag: float) -> Curve:
        low, high = _band(m * sag, p)
        return Curve(label=label, x=m / mass, y=m * sag / length, low=low / length, high=high / length)

    curves = [
        curve("resting on the lock, hand held down" if p.sag_held != p.sag_clamped else "in the cradle", p.sag_held)
    ]
    if p.sag_held != p.sag_clamped:
        curves.append(curve("clamped at the lock", p.sag_clamped))
    end = p.mass * p.sag_held
    return Picture(
        title=f"Sag of {p.part} under a weight",
        says=f"Sag grows in a straight line to {show(end, 'length', system)} at {_kg(p.mass, system)}, the most that "
        "may hang; the bands hold 9 of 10 boards.",
        x_label=f"hung at {show(p.at, 'length', system)} from the handle end, {of_weight}",
        y_label=f"sag, {of_sag} (tape's error {show(error, 'length', system)})",
        curves=tuple(curves),
        marks=(Mark(x=p.mass / mass, y=end / length, label="stop here"),),
    )


# -------------------------------------------------------------------------------------------------- back from the bench


def _told(reading: Reading, shaft: Shaft, error: float) -> dict[str, float]:
    """Return what a measured sag and weight say, as ratios to what was taken; empty where none was measured."""
    values = {e.path.removeprefix("measured."): e.value for e in reading.entries.values()}
    sags = sags_of(reading, shaft)
    if sags is None:
        return {}
    sag, computed = sags
    k = float(stiffness_told(s_0=number(computed), s=number(sag)))
    hard = bool(float(shaft.pieces[-1].wood.hardwood))
    n, scatter = exponent_of_stiffness(hard)
    out = {
        "computed": computed,
        "sag": sag,
        "stiffness": k,
        "error": error / sag,
        "strength": float(strength_told(k_E=number(k), n=number(n))),
        "scatter": scatter,
    }
    if values.get("weight") is not None:
        out["mass"] = float(values["weight"])  # type: ignore[arg-type]
    return out


def _back(told: Mapping[str, float], shaft: Shaft, system: System) -> tuple[Table, dict[str, Any], str]:
    beam = loaded(shaft)
    half = float(pull_to_break(beam)[0])
    blade = float(give(shaft).held) * abs(float(beam.cases[beam.case("once")].pull))
    blade *= float((shaft.rig.lock - shaft.rig.hand) / (shaft.blade.centre - shaft.rig.lock))  # type: ignore[union-attr]
    k, s = told["stiffness"], told["strength"]
    rows = [
        ("sag under your weight", show(told["computed"], "length", system), show(told["sag"], "length", system)),
        ("stiffness, over the table's", "1.00", f"{k:.2f} (tape: {percent(told['error'])} either way)"),
        ("movement at the greatest pull", show(blade, "length", system), show(blade / k, "length", system)),
    ]
    if "mass" in told:
        rows.append(("weight", show(float(whole(shaft).mass), "mass", system), show(told["mass"], "mass", system)))
    wide = math.exp(Z95 * told["scatter"])
    rows.append(
        (
            "pull at which half would have broken",
            show(half, "force", system),
            f"{show(half * s, 'force', system)} ({show(half * s / wide, 'force', system)} to "
            f"{show(half * s * wide, 'force', system)})",
        )
    )
    rows.append(("design limit", "1.00", f"{min(1.0, s):.2f}" + ("" if s < 1.0 else " (never raised)")))
    data = {
        "stiffness_over_taken": numbers(k, ""),
        "strength_over_taken": numbers(s, ""),
        "scatter_of_the_relation": numbers(told["scatter"], ""),
        "design_limit_times": numbers(min(1.0, s), ""),
        "movement_at_the_greatest_pull": numbers(blade / k, "m"),
        "half_would_have_broken": numbers(half * s, "N"),
    }
    if s < 1.0:
        words = (
            f"Your sag says that the wood is {percent(1 - k)} less stiff than the table's: take its strength "
            f"{percent(1 - s)} lower at once; `check` and every question about this file do."
        )
    else:
        words = (
            f"Your sag says that the wood is {percent(k - 1)} stiffer than the table's: it may break later than "
            "expected, but no design limit is raised by it, and no joint's."
        )
    table = Table(title="Back from the bench", heads=("what", "taken", "by your bench"), rows=tuple(rows), numeric=(1,))
    return table, data, words


QUESTION = Question(
    asks="how is it tested on the bench, and what does the bench tell?",
    ask=_ask,
    finds=False,
    changed=True,
    examples=(
        "bench-test my-oar.toml",
        "bench-test my-oar.toml --hang-at '2.1 m' --tape '0.5 mm'",
    ),
    options={
        "hang_at": Key(
            kind="length",
            help="from handle end to where the weight hangs; at the blade's middle if left out",
            example="2.1 m",
            optional=True,
            low=0.2,
            high=8.0,
        ),
        "tape": Key(
            kind="length", help="reading error of the tape", example="1 mm", assume="1 mm", low=0.00005, high=0.02
        ),
    },
)
