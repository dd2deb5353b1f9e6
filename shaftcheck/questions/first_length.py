"""How long an oar, and where its lock? The trade's rules side by side, and what their levers bring."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import numpy as np

from shaftcheck.border.assemble import Built, assemble
from shaftcheck.border.shaftfile import read
from shaftcheck.border.shown import MARK, System, axis, say, show
from shaftcheck.border.write import size
from shaftcheck.frozen import frozen
from shaftcheck.key import Key
from shaftcheck.loads import loaded
from shaftcheck.model import Shaft, number, stack
from shaftcheck.questions.question import Asked, Curve, Finding, Mark, Picture, Question, Table, Winner, numbers
from shaftcheck.said import percent
from shaftcheck.studies.first_length import BLADES, PLACES, RULES, Kind, Levers, Rule, levers, rounded
from shaftcheck.studies.pairs import uses_of
from shaftcheck.studies.thicken import thicken

__all__ = ["QUESTION"]

_NO_SOURCE = "common practice, no source"
_LOOM = ((0.0, 36.0, 36.0), (0.09, 38.0, 38.0), (0.19, 48.0, 48.0))
"""first shape beyond the hand: distance [m], fore and aft and up and down [mm] (judgement)"""
_BEYOND = ((0.15, 50.0, 46.0), (0.55, 45.0, 41.0), (1.0, 36.0, 32.0))
"""the same beyond the lock, by part of the way to the neck (judgement)"""


@frozen
class _Try:
    """One rule with one blade, as a shaft file and as a shaft."""

    rule: int
    kind: Kind
    length: float
    lock: float
    doc: dict[str, Any]
    built: Built


def _doc(asked: Asked, length: float, lock: float, kind: Kind, hand: float, system: System) -> dict[str, Any]:
    def mm(value: float) -> str:
        return size(value / 1000.0, system)

    neck = length - kind.length
    marks = [(x if x == 0.0 else hand + x, d, w) for x, d, w in _LOOM]
    marks += [(lock + (neck - lock) * t, d, w) for t, d, w in _BEYOND]
    step = MARK[system]
    sections = [
        {
            "at": size(neck if x == marks[-1][0] else round(x / step) * step, system),
            "fore_and_aft": size(round(d / 1000.0 / step) * step, system),
            "up_and_down": size(round(w / 1000.0 / step) * step, system),
        }
        for x, d, w in marks
    ]
    return {
        "title": f"a first oar, {kind.name} blade",
        "note": "a first shape from rules of the trade: change it to your boat",
        "answer_in": system,
        "oar": {
            "length": size(length, system),
            "inside": "solid",
            "blade_length": size(kind.length, system),
            "blade_width": size(kind.width, system),
            "blade_area": f"{kind.area:.6f} m2",
        },
        "rig": {"kind": "lock", "hand": size(hand, system), "lock": size(lock, system)},
        "rower": {"strength": asked.word("strength"), "hands": "one"},
        "duty": {
            "boat_speed": f"{asked.size('boat_speed')!r} m/s",
            "levering": asked.word("levering"),
        },
        "section": sections,
        "wood": [{"of": asked.word("wood")}],
    }


def _tries(asked: Asked, system: System) -> list[_Try]:
    width, hand = float(asked.options["between_locks"]), float(asked.options["hand"])
    out = []
    for k, rule in enumerate(RULES):
        length = rounded([rule.length(width)], 0.01 if system == "metric" else 0.0254)[0]
        lock = rounded([rule.inboard(width)], 0.005 if system == "metric" else 0.0254 / 4.0)[0]
        for kind in BLADES:
            doc = _doc(asked, length, lock, kind, hand, system)
            reading = read(doc, f"{rule.name}, {kind.name}")
            values = {e.path: e.value for e in reading.entries.values() if e.value is not None}
            built = assemble(reading, values)
            out.append(_Try(rule=k, kind=kind, length=length, lock=lock, doc=doc, built=built))
    return out


def _ask(asked: Asked) -> Finding:
    system: System = asked.system or "metric"
    tries = _tries(asked, system)
    found = levers(loaded(stack([t.built.shaft for t in tries]), number(1.0)))
    chosen = next(k for k, b in enumerate(BLADES) if b.water == asked.word("water"))
    mine = [i for i, t in enumerate(tries) if t.kind is BLADES[chosen]]
    first = tries[mine[0]]
    winner = _winner(first, system)
    lengths = [tries[i].length for i in mine]
    rules = Table(
        title=f"Length and lock place by rules of the trade ({_NO_SOURCE}), {first.kind.name} blade",
        heads=("rule", "oar", "lock from handle end", "hand to lock", "lock to mid-blade", "blade to hand"),
        rows=tuple(
            (
                RULES[tries[i].rule].name,
                show(tries[i].length, "length", system),
                show(tries[i].lock, "length", system),
                show(float(found.inboard[i]), "length", system),
                show(float(found.outboard[i]), "length", system),
                f"{float(found.outboard[i] / found.inboard[i]):.2f}",
            )
            for i in mine
        ),
        numeric=(1, 2, 3, 4, 5),
    )
    loads = Table(
        title="What the levers bring at the greatest single pull, each with the water's push where it is worse: for "
        "the blade a third of it from the tip, for the lock at mid-blade, so that they are no sum",
        heads=("rule", "on the blade", "on the lock", "bending at the lock"),
        rows=tuple(
            (
                RULES[tries[i].rule].name,
                show(float(found.blade[i]), "force", system),
                show(float(found.lock[i]), "force", system),
                show(float(found.moment[i]), "moment", system),
            )
            for i in mine
        ),
        numeric=(1, 2, 3),
    )
    of_first = [i for i, t in enumerate(tries) if t.rule == 0]
    blades = Table(
        title=f"Kinds of blade ({_NO_SOURCE}), by the first rule",
        heads=("blade", "suits", "size", "area", "weighs", "caught, it is pushed by", "bending then", "twist, once"),
        rows=tuple(
            (
                tries[i].kind.name,
                tries[i].kind.suits,
                f"{show(tries[i].kind.length, 'length', system)} by {show(tries[i].kind.width, 'length', system)}",
                show(tries[i].kind.area, "area", system),
                show(float(tries[i].built.shaft.blade.mass), "mass", system),
                show(float(found.caught[i]), "force", system),
                show(float(found.caught_moment[i]), "moment", system),
                show(float(found.twist[i]), "moment", system),
            )
            for i in of_first
        ),
        numeric=(3, 4, 5, 6, 7),
    )
    return Finding(
        question="first-length",
        title=f"A pair of oars for {show(float(asked.options['between_locks']), 'length', system)} between the locks",
        sentence=_sentence(first, lengths, found, mine[0], winner, system),
        answered=winner is not None,
        system=system,
        tables=(rules, loads, blades),
        pictures=(_picture(tries, mine, system),),
        data={
            "rules": [
                {
                    "rule": RULES[tries[i].rule].name,
                    "says": _says(RULES[tries[i].rule], system),
                    "source": _NO_SOURCE,
                    "length": numbers(tries[i].length, "m"),
                    "lock": numbers(tries[i].lock, "m"),
                    **_forces(found, i),
                }
                for i in mine
            ],
            "blades": [
                {
                    "blade": tries[i].kind.name,
                    "suits": tries[i].kind.suits,
                    "source": _NO_SOURCE,
                    "area": numbers(tries[i].kind.area, "m2"),
                    **_forces(found, i),
                }
                for i in of_first
            ],
        },
        searched=(
            *(f"{r.name}: {_says(r, system)} ({_NO_SOURCE})" for r in RULES),
            f"locks sit at {PLACES[0] * 100.0:.0f} to {percent(PLACES[1])} of the oar ({_NO_SOURCE}); the hands "
            "meet or cross a little where the inboard is half the width and more",
            "forces with the water's push where it is worse, as the check takes it: a third of the blade from its tip "
            "for the shaft, mid-blade for the lock",
            "not in it: height of the locks above the water, beam of the boat outside them, how far you lean; two "
            "hands on one oar follow other rules",
        ),
        assumptions=tuple(say(a, system) for a in first.built.assumptions),
        cautions=("Cut long: a rule is a beginning. Row it, then shorten it; a lock can be moved, wood not put back.",),
        winners=() if winner is None else (winner,),
    )


def _says(rule: Rule, system: System) -> str:
    return rule.says.format(more=show(rule.more, "length", system))


def _forces(found: Levers, i: int) -> dict[str, Any]:
    units = {"inboard": "m", "outboard": "m", "blade": "N", "lock": "N", "caught": "N"}
    return {
        {"blade": "blade_force", "lock": "lock_force"}.get(f.name, f.name): numbers(
            float(getattr(found, f.name)[i]), units.get(f.name, "N m")
        )
        for f in fields(found)
    }


def _winner(t: _Try, system: System) -> Winner | None:
    """Return the first oar with its sections grown until it holds, as a shaft file; None where none is found."""
    step = MARK[system]
    grown = thicken(t.built.shaft, own=number(t.built.own), step=step)
    if grown is None:
        return None
    doc = dict(t.doc)
    doc["section"] = [
        s | {"fore_and_aft": size(float(g.depth), system), "up_and_down": size(float(g.width), system)}
        for s, g in zip(t.doc["section"], grown, strict=True)
    ]
    reading = read(doc, "first oar")
    built = assemble(reading, {e.path: e.value for e in reading.entries.values() if e.value is not None})
    uses = uses_of(built.shaft, built.own)
    known = all(bool(k) for _, k in uses.values())
    worst = {name: float(u) for name, (u, _) in uses.items()}
    if not known or not max(worst.values()) <= 1.0:
        return None
    return Winner(label=f"{RULES[t.rule].name}, {t.kind.name} blade", doc=doc, uses=worst)


def _sentence(first: _Try, lengths: list[float], found: Levers, i: int, winner: Winner | None, system: System) -> str:
    low, high = (show(v, "length", system) for v in (min(lengths), max(lengths)))
    said = (
        f"Rules of the trade give {low} to {high}; begin with {show(first.length, 'length', system)}, lock "
        f"{show(first.lock, 'length', system)} from the handle end, and a {first.kind.name} blade ({_NO_SOURCE}). "
        f"The greatest pull then bends it with {show(float(found.moment[i]), 'moment', system)} at the lock, the blade "
        f"caught with {show(float(found.caught_moment[i]), 'moment', system)}."
    )
    if winner is None:
        return f"{said} No section within reach was found that holds that: less pull, or another wood."
    return f"{said} A shaft that holds it is found, {percent(max(winner.uses.values()), 'up')} used (--write)."


def _picture(tries: list[_Try], mine: list[int], system: System) -> Picture:
    unit, per = axis("lever", system)
    curves = []
    marks = []
    for row, i in enumerate(mine):
        t = tries[i]
        shaft: Shaft = t.built.shaft
        at = np.array([0.0, float(shaft.rig.hand), t.lock, float(shaft.blade.neck), t.length])
        y = float(len(mine) - row)
        curves.append(Curve(label=f"{RULES[t.rule].name}: {show(t.length, 'length', system)}", x=(at - t.lock) / per,
                            y=np.full(5, y)))  # fmt: skip
        marks += [
            Mark(x=(float(x) - t.lock) / per, y=y, label="" if row else label)
            for x, label in ((shaft.rig.hand, "hand"), (t.lock, "lock"), (shaft.blade.neck, "neck"))
        ]
    return Picture(
        title="The same boat by four rules: handle to the left of the lock, blade to the right",
        says="One line for each rule from handle end to tip, the lock at nought; hand, lock and neck are marked.",
        x_label=f"from the lock, {unit}",
        y_label="",
        curves=tuple(curves),
        marks=tuple(marks),
    )


QUESTION = Question(
    asks="how long an oar, where its lock, which blade: a first answer from the width between the locks",
    ask=_ask,
    files="none",
    examples=(
        'first-length --between-locks "1.25 m" --strength general --water open',
        "first-length --between-locks '4 ft 2 in' --answer-in inches --write first-oar.toml",
    ),
    options={
        "between_locks": Key(
            kind="length", help="from lock to lock across the boat", example="1.25 m", low=0.6, high=2.6
        ),
        "strength": Key(
            kind="choice",
            help="light: casual, feet not braced; general; trained",
            example="general",
            choices=("light", "general", "trained"),
            assume="general",
        ),
        "water": Key(
            kind="choice",
            help="where it is rowed most",
            example="open",
            choices=tuple(b.water for b in BLADES),
            assume="mixed",
        ),
        "hand": Key(
            kind="length",
            help="from handle end to the middle of the grip",
            example="60 mm",
            assume="60 mm",
            low=0.02,
            high=0.2,
        ),
        "boat_speed": Key(
            kind="speed", help="when a blade is caught", example="2 m/s", assume="2 m/s", low=0.1, high=6.0
        ),
        "levering": Key(
            kind="choice",
            help="whether the oar is used to lever the boat off",
            example="by hand",
            choices=("never", "by hand", "braced"),
            assume="by hand",
        ),
        "wood": Key(kind="wood", help="of the shaft", example="Sitka spruce (US)", assume="Sitka spruce (US)"),
    },
)
