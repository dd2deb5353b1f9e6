"""Is this plank fit for this shaft, and where? What its weight, sag, run-out and rings tell."""

from __future__ import annotations

from typing import Any

import numpy as np

from shaftcheck.border.planks import Plank
from shaftcheck.border.shown import System, say, show
from shaftcheck.errors import Fault, InputError
from shaftcheck.frozen import frozen
from shaftcheck.key import Key
from shaftcheck.model import number
from shaftcheck.questions._woods import (
    SHELF,
    Candidate,
    bonding,
    glued,
    lacks_of,
    named,
    of_plank,
    on_shelf,
    places,
    stock_of,
    too_small,
    with_woods,
)
from shaftcheck.questions.question import Asked, Finding, Picture, Question, Table, Winner, numbers, ready
from shaftcheck.said import percent
from shaftcheck.studies.planks import dry_density
from shaftcheck.studies.woods import beam_of, found

__all__ = ["QUESTION"]

_PLACES = {1: ("the whole shaft",), 2: ("inboard", "outboard")}


@frozen
class _Judged:
    """One plank in the places of a shaft."""

    plank: Plank
    fit: tuple[str, ...]
    """places that it is fit for"""
    why: tuple[str, ...]
    settled: bool
    """whether all was measured that a verdict needs"""
    use: tuple[float, ...]
    """of its own part and the joint, place by place; nan where not tried"""
    misplaced: tuple[bool, ...]
    """whether a rule of place is broken there, so that its use says nothing of the plank"""
    winners: tuple[Winner, ...]

    @property
    def verdict(self) -> str:
        """Return the verdict in few words."""
        if self.fit:
            return " or ".join(self.fit)
        return "not for this shaft" if self.settled and not self.barred else self._bad

    @property
    def barred(self) -> bool:
        """Return whether the plank itself is not for oars."""
        return bool(lacks_of(self.plank)[0])

    @property
    def _bad(self) -> str:
        return "not for oars" if self.barred else "not judged yet"


def _ask(asked: Asked) -> Finding:
    reading, built, doc = ready(asked)
    system = asked.system or reading.system
    shaft = built.shaft
    if len(shaft.pieces) not in _PLACES:
        fault = Fault("wood", f"{len(shaft.pieces)} pieces of wood", "this question is of shafts of one piece or two")
        raise InputError(reading.name, [fault])
    shelf = on_shelf(asked)
    told = asked.word("plank")
    if not shelf:
        write = "write a [[plank]] table for each, here or in --shelf"
        raise InputError(reading.name, [Fault("plank", "no plank", write)])
    if told:
        there = ", ".join(p.short for p in shelf)
        shelf = tuple(p for p in shelf if told in (p.name, p.short))
        if not shelf:
            raise InputError("judge-planks", [Fault("--plank", f"no plank called '{told}'", f"write one of {there}")])
    mine = [named(str(t["of"]), doc, (), estimate="lacking_values" in t) for t in doc["wood"]]
    count = len(mine)
    rows = [[of_plank(p) if i == k else mine[i] for i in range(count)] for p in shelf for k in range(count)]
    stocks = [stock_of([r[i] for r in rows], shaft.pieces[i].slope) for i in range(count)]
    follows = "oar.blade_weight" not in reading.entries
    f = found(
        len(rows),
        lambda i: beam_of(shaft, number(built.own), [s.take(i) for s in stocks], blade_follows=follows),
        refine=True,
        tick=asked.tick,
    )
    judged = []
    for n, plank in enumerate(shelf):
        against, missing = lacks_of(plank)
        why, fit, use, misplaced, winners = [*against, *missing], [], [], [], []
        for k, place in enumerate(_PLACES[count]):
            i = n * count + k
            parts = [1, 0 if count == 2 and k == 0 else 2]
            worst = float(np.nanmax([0.0, *f.use[i, parts]]))
            known = bool(f.known[i, parts].all())
            use.append(worst if known else np.nan)
            misplaced.append(np.isinf(worst) and bool(f.misplaced[i]))
            reach = places(shaft)[k] if count == 2 else (0.0, float(shaft.length))
            small = too_small(plank, shaft, reach)
            binds = not glued(shaft) or bool(bonding(rows[i][0], rows[i][-1])[0])
            if small:
                why.append(f"{place}: {small}")
            elif not known:
                why.append(f"{place}: a value of its wood is not known")
            elif not binds:
                why.append(f"{place}: how its wood bonds is not known")
            elif misplaced[-1]:
                why.append(f"{place}: badly placed, whatever it is made of: {', '.join(f.misplaced[i])}")
            elif not worst <= 1.0:
                why.append(f"{place}: too weak here")
            elif not (against or missing):
                fit.append(place)
                if bool(f.holds[i]):
                    winners.append(_winner(doc, rows[i], plank, place, f.checks, f.by_check[i]))
        judged.append(
            _Judged(
                plank=plank,
                fit=tuple(fit),
                why=tuple(why),
                settled=not missing,
                use=tuple(use),
                misplaced=tuple(misplaced),
                winners=tuple(winners),
            )
        )
    return _finding(judged, reading.title or reading.name, system, [say(a, system) for a in built.assumptions])


def _winner(doc: Any, row: list[Candidate], plank: Plank, place: str, checks: Any, by_check: Any) -> Winner:
    uses: dict[str, float] = {}
    for check, use in zip(checks, by_check, strict=True):
        uses[check] = max(float(use), uses.get(check, -np.inf))
    label = f"{plank.name}, {place}"
    return Winner(label=label, doc=with_woods(doc, row, f"{doc.get('title', 'shaft')}: {label}"), uses=uses)


def _finding(judged: list[_Judged], title: str, system: System, assumed: list[str]) -> Finding:
    heads = ("plank", "dry weight", "of its wood", "stiffness", "of its wood", "bending strength", "9 of 10 between")
    rows = []
    for j in judged:
        r = j.plank.revised
        rows.append(
            (
                j.plank.name,
                show(float(dry_density(r.gravity)), "density", system),
                percent(float(r.gravity_ratio)),
                show(float(r.stiffness), "stiffness", system),
                percent(float(r.stiffness_ratio)),
                show(float(r.bending), "stress", system),
                f"{show(float(r.bending_low), 'stress', system)} to {show(float(r.bending_high), 'stress', system)}",
            )
        )
    places_of = _PLACES[len(judged[0].use)]
    fits = [
        (
            j.plank.name,
            show(j.plank.slope, "slope", system),
            j.verdict,
            *("badly placed" if bad else percent(u, "up") for u, bad in zip(j.use, j.misplaced, strict=True)),
            "; ".join(j.why) or "nothing speaks against it",
        )
        for j in judged
    ]
    good = [j for j in judged if j.fit]
    return Finding(
        question="judge-planks",
        title=title,
        sentence=_sentence(judged, good),
        answered=bool(good),
        system=system,
        tables=(
            Table(
                title="What was measured, at 12 % moisture, and the bending strength that goes with the weight",
                heads=heads,
                rows=tuple(rows),
                numeric=(1, 2, 3, 4, 5, 6),
            ),
            Table(
                title="What each is fit for in this shaft, beside the file's other wood",
                heads=("plank", "runs out", "fit for", *(f"used {p}" for p in places_of), "why"),
                rows=tuple(fits),
                numeric=(1, *range(3, 3 + len(places_of))),
            ),
        ),
        pictures=(_picture(judged),),
        data={"planks": [_record(j) for j in judged]},
        searched=(
            "each plank in each place of this shaft, its own part and the joint; the other wood is the file's",
            "not looked at: the blade, which may be glued up of more; warp; how the plank was dried",
        ),
        assumptions=(
            *assumed,
            "the strength that goes with the weight: the relation among woods, taken within a wood, with its scatter "
            "(Wood Handbook Table 5-11a, from memory; scatter: judgement)",
            "stiffness is put on the table's basis, a tenth below that along the grain (Table 5-3, footnote c)",
        ),
        cautions=(
            "What is expected to break it may be above its wood's mean; no limit is raised by that, only lowered.",
        ),
        winners=tuple(sorted((w for j in good for w in j.winners), key=lambda w: np.nanmax([0.0, *w.uses.values()]))),
    )


def _sentence(judged: list[_Judged], good: list[_Judged]) -> str:
    if len(judged) == 1:
        j = judged[0]
        if j.fit:
            return f"{j.plank.name}: fit for {j.verdict}."
        return f"{j.plank.name}: {j.verdict}; {'; '.join(j.why)}."
    if not good:
        return f"None of the {len(judged)} planks can be called good for this shaft."
    said = "; ".join(f"{j.plank.name} for {j.verdict}" for j in good)
    return f"{len(good)} of {len(judged)} planks are fit for this shaft: {said}."


def _record(j: _Judged) -> dict[str, Any]:
    r = j.plank.revised
    places_of = _PLACES[len(j.use)]
    return {
        "plank": j.plank.name,
        "verdict": j.verdict,
        "fit_for": list(j.fit),
        "why": list(j.why),
        "used": {p: numbers(u, "") for p, u in zip(places_of, j.use, strict=True)},
        "density_at_12": numbers(float(dry_density(r.gravity)), "kg/m3"),
        "density_over_its_woods": numbers(float(r.gravity_ratio), ""),
        "stiffness_at_12": numbers(float(r.stiffness), "Pa"),
        "stiffness_over_its_woods": numbers(float(r.stiffness_ratio), ""),
        "bending_expected": {
            "mean": numbers(float(r.bending), "Pa"),
            "low": numbers(float(r.bending_low), "Pa"),
            "high": numbers(float(r.bending_high), "Pa"),
        },
        "kept_of_the_limits": {
            f"{prop}, {condition}": numbers(float(v), "") for (prop, condition), v in r.keeps.items()
        },
        "run_out": numbers(j.plank.slope, ""),
        "ring_width": numbers(j.plank.ring, "m"),
    }


def _picture(judged: list[_Judged]) -> Picture:
    bars = []
    for j in judged:
        for place, use in zip(_PLACES[len(j.use)], j.use, strict=True):
            if np.isfinite(use) and not any(w.startswith(f"{place}: too s") or "too thin" in w for w in j.why):
                said = "" if place in j.fit else f" ({j.verdict})" if not j.fit else " (not fit)"
                bars.append((f"{j.plank.short}, {place}{said}", float(np.ceil(use * 100.0 - 1e-9))))
    return Picture(
        title="How much of each plank is used, by place",
        says="Bars of the use of each plank in each place; what is past the line falls short, what bears a remark in "
        "brackets is not to be built in.",
        x_label="use of the limit, its own part and the joint, %",
        y_label="",
        bars=tuple(bars),
        limit=100.0,
        limit_label="the limit",
    )


QUESTION = Question(
    asks="is this plank fit for this shaft, and where in it?",
    ask=_ask,
    examples=(
        "judge-planks my-oar.toml --shelf shelf.toml",
        'judge-planks my-oar.toml --plank "left of the door"',
    ),
    options={
        "shelf": SHELF,
        "plank": Key(kind="text", help="judge this one alone", example="left of the door", optional=True),
    },
)
