"""Two oars of a pair beside each other, and where to take how much off which of them to make them alike."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from shaftcheck import sections
from shaftcheck.border.shaftfile import Reading
from shaftcheck.border.shown import MARK, System, axis, say, show
from shaftcheck.border.write import size
from shaftcheck.errors import Fault, InputError
from shaftcheck.frozen import frozen
from shaftcheck.key import Key
from shaftcheck.model import Array, Shaft, map_arrays, number
from shaftcheck.questions._pairs import correction, state_of
from shaftcheck.questions.question import Asked, Curve, Finding, Picture, Question, Table, Winner, numbers, ready
from shaftcheck.said import Dimension, percent, used
from shaftcheck.studies.pairs import (
    ALIKE,
    Correction,
    Figures,
    Shave,
    apart,
    bounded,
    figures,
    found,
    one_piece,
    searched,
    shaved,
    uses_of,
)

__all__ = ["QUESTION"]

_LETTERS = ("A", "B")
_ROWS: tuple[tuple[str, str, Dimension, str], ...] = (
    ("weight", "mass", "mass", "kg"),
    ("balance", "balance", "length", "m"),
    ("sag", "sag", "length", "m"),
)


@frozen
class _Pair:
    """The two oars, how they compare, and what was found."""

    names: tuple[str, ...]
    readings: tuple[Reading, ...]
    docs: tuple[dict[str, Any], ...]
    shafts: tuple[Shaft, ...]
    put_in: tuple[tuple[int, ...], ...]
    """stations that the files do not have"""
    own: tuple[float, ...]
    assumptions: tuple[str, ...]
    not_measured: tuple[tuple[str, ...], ...]
    corrections: tuple[Correction, ...]
    at: Array
    """where the sag is read [m]"""
    beside: tuple[Figures, ...]
    states: tuple[tuple[str, float, str], ...]
    step: float
    most: float
    most_used: float
    margin_told: bool
    system: System
    shave: Shave | None = None
    uses: dict[str, float] | None = None

    @property
    def now(self) -> float:
        """Return how far apart they are, at most 1 where they are alike."""
        return float(apart(*self.beside))

    @property
    def bad(self) -> list[int]:
        """Return those that do not hold."""
        return [k for k in (0, 1) if self.states[k][0] != "holds"]

    def cut(self, shave: Shave) -> Shaft:
        """Return the oar as taken down, a batch of one."""
        z = shave.zone
        amounts = (np.array([float(v)]) for v in (z.first, z.last, shave.depth, shave.width))
        return shaved(self.shafts[shave.oar], *amounts)

    def after(self, shave: Shave) -> Figures:
        """Return the figures of the oar as taken down, a batch of one."""
        return figures(self.cut(shave), self.at, self.corrections[shave.oar])


def _read(asked: Asked) -> _Pair:
    first, second = ready(asked, 0), ready(asked, 1)
    readings = (first[0], second[0])
    made_of = (bounded(first[1].shaft), bounded(second[1].shaft))
    shafts = (made_of[0][0], made_of[1][0])
    own = (first[1].own, second[1].own)
    if one_piece(shafts[0]) != one_piece(shafts[1]):
        fault = Fault("rig.kind", "one oar works in a lock, the other in a hinged rig", "give two oars of one rig")
        raise InputError(readings[1].name, [fault])
    for reading, shaft in zip(readings, shafts, strict=True):
        if any(np.isfinite(s.wall) for s in shaft.stations):
            fault = Fault("oar.inside", "hollow: what a shaved wall holds is not reckoned", "give two solid oars")
            raise InputError(reading.name, [fault])
    system: System = asked.system or readings[0].system
    made = [correction(r, s) for r, s in zip(readings, shafts, strict=True)]
    at = number(min(float(s.blade.centroid) for s in shafts))
    states = tuple(state_of(uses_of(s, o)) for s, o in zip(shafts, own, strict=True))
    told = asked.size("margin")
    step = asked.size("step") or MARK[system]
    return _Pair(
        names=_names(readings),
        readings=readings,
        docs=(first[2], second[2]),
        shafts=shafts,
        put_in=(made_of[0][1], made_of[1][1]),
        own=own,
        assumptions=tuple(say(a, system) for built in (first[1], second[1]) for a in built.assumptions),
        not_measured=tuple(tuple(o) for _, o in made),
        corrections=tuple(c for c, _ in made),
        at=at,
        beside=tuple(figures(s, at, c) for s, (c, _) in zip(shafts, made, strict=True)),
        states=states,
        step=step,
        most=max(asked.size("most") or step, step),
        most_used=max(s[1] for s in states) if told is None else 1.0 / (1.0 + told),
        margin_told=told is not None,
        system=system,
    )


def _ask(asked: Asked) -> Finding:
    p = _read(asked)
    if not p.bad and not p.now <= 1.0:
        tried = searched(p.shafts, p.at, p.corrections, step=p.step, most=p.most)
        best = found(p.shafts, p.own, tried, now=p.now, most_used=p.most_used, tick=asked.tick)
        if best is not None:
            p = replace(p, shave=best[0], uses=best[1])
    return _finding(p)


def _names(readings: tuple[Reading, Reading]) -> tuple[str, ...]:
    titles = [r.title or r.name for r in readings]
    if titles[0] == titles[1]:
        titles = [r.name for r in readings]
    return tuple(f"{letter} ({title})" for letter, title in zip(_LETTERS, titles, strict=True))


def _winner(p: _Pair, shave: Shave) -> Winner:
    k = shave.oar
    doc = {key: v for key, v in p.docs[k].items() if key not in ("measured", "change", "plank")}
    rows: list[dict[str, Any]] = []
    told = iter(doc["section"])
    for i, s in enumerate(p.shafts[k].stations):
        new = dict(rows[-1] if i in p.put_in[k] else next(told))  # one that is put in is shaped like the one before
        here = shave.zone.first <= i <= shave.zone.last
        if i in p.put_in[k]:
            new["at"] = size(float(s.x), p.system)
        if i in p.put_in[k] or here:
            new = {key: v for key, v in new.items() if key not in ("across", "girth")}
            new["fore_and_aft"] = size(float(s.depth) - here * shave.depth, p.system)
            new["up_and_down"] = size(float(s.width) - here * shave.width, p.system)
        rows.append(new)
    doc["section"] = rows
    doc["title"] = f"{p.readings[k].title or 'oar'}: taken down to match its mate"
    return Winner(label=f"{p.names[k]}, taken down", doc=doc, uses=p.uses or {})


# ------------------------------------------------------------------------------------------------------------ words


def _taken(p: _Pair, shave: Shave) -> str:
    s, z = p.shafts[shave.oar].stations, shave.zone

    def length(value: Array | float) -> str:
        return show(float(value), "length", p.system)

    parts = [
        f"{length(amount)} {way} ({length(amount / 2.0)} from each of the {faces} faces)"
        for amount, way, faces in (
            (shave.depth, "fore and aft", "forward and aft"),
            (shave.width, "up and down", "upper and lower"),
        )
        if amount > 0.0
    ]
    where = f"at {length(s[z.first].x)}"
    if z.first != z.last:
        where = f"from {length(s[z.first].x)} to {length(s[z.last].x)}"
    ends = [s[k].x for k in (z.first - 1, z.last + 1) if 0 <= k < len(s)]
    out = ", tapering out to nothing at " + " and ".join(length(e) for e in ends) if ends else ""
    return f"{' and '.join(parts)} {where}{out} from the handle end"


def _sentence(p: _Pair) -> str:
    if p.bad:
        said = "; ".join(f"{p.names[k]} {_stands(p.states[k])}" for k in p.bad)
        return f"Cut neither: {said}. A pair is brought together only where the worse oar holds."
    if p.now <= 1.0:
        return "Cut neither: the two are alike in weight, balance and sag."
    if p.shave is None:
        reach = show(p.most, "length", p.system)
        return (
            f"Cut neither: they differ, and nothing within {reach} off a size brings them nearer and keeps the margin."
        )
    far = float(apart(p.after(p.shave), p.beside[1 - p.shave.oar])[0])
    then = "The two are then alike" if far <= 1.0 else "That is as near as they come"
    most = percent(max((p.uses or {}).values()), "up")
    return f"Take off {p.names[p.shave.oar]}: {_taken(p, p.shave)}. {then}, and its weakest place is used {most}."


def _stands(state: tuple[str, float, str]) -> str:
    return f"{state[0]} ({state[2]}, {used(state[1])})"


def _beside(p: _Pair) -> Table:
    rows = []
    for title, key, dimension, _ in _ROWS:
        a, b = (float(getattr(f, key)) for f in p.beside)
        row = [title, show(a, dimension, p.system), show(b, dimension, p.system), _difference(key, a, b, p.system)]
        if p.shave is not None:
            c = float(getattr(p.after(p.shave), key)[0])
            row += [show(c, dimension, p.system), _difference(key, c, (a, b)[1 - p.shave.oar], p.system)]
        rows.append(tuple(row))
    row = ["used at its weakest", *(percent(s[1], "up") for s in p.states), ""]
    heads = ["", "A", "B", "A less B"]
    if p.shave is not None:
        row += [percent(max((p.uses or {}).values()), "up"), ""]
        heads += [f"{_LETTERS[p.shave.oar]} taken down", "less its mate"]
    rows.append(tuple(row))
    numeric = tuple(range(1, len(heads)))
    return Table(title="; ".join(p.names), heads=tuple(heads), rows=tuple(rows), numeric=numeric)


def _data(p: _Pair) -> dict[str, Any]:
    out: dict[str, Any] = {
        "oars": [
            {
                "name": p.names[k],
                "state": p.states[k][0],
                "worst_use": numbers(p.states[k][1], ""),
                "worst_check": p.states[k][2],
                **{key: numbers(float(getattr(p.beside[k], key)), unit) for _, key, _, unit in _ROWS},
                "not_measured": list(p.not_measured[k]),
            }
            for k in (0, 1)
        ],
        "apart": numbers(p.now, ""),
        "sag_read_at": numbers(float(p.at), "m"),
        "most_used": numbers(p.most_used, ""),
        "take_off": None,
    }
    if p.shave is not None:
        s, z, f = p.shafts[p.shave.oar].stations, p.shave.zone, p.after(p.shave)
        out["take_off"] = {
            "oar": _LETTERS[p.shave.oar],
            "from": numbers(float(s[z.first].x), "m"),
            "to": numbers(float(s[z.last].x), "m"),
            "fore_and_aft": numbers(p.shave.depth, "m"),
            "up_and_down": numbers(p.shave.width, "m"),
            "then_apart": numbers(float(apart(f, p.beside[1 - p.shave.oar])[0]), ""),
            **{key: numbers(float(getattr(f, key)[0]), unit) for _, key, _, unit in _ROWS},
        }
    return out


def _finding(p: _Pair) -> Finding:
    length = [show(v, "length", p.system) for v in (p.step, p.most, ALIKE["balance"], float(p.at))]
    open_ = [f"{p.names[k]}: {', '.join(p.not_measured[k])}" for k in (0, 1) if p.not_measured[k]]
    return Finding(
        question="match-pair",
        title=f"{p.readings[0].title or p.readings[0].name} and {p.readings[1].title or p.readings[1].name}",
        sentence=_sentence(p),
        answered=not p.bad and (p.now <= 1.0 or p.shave is not None),
        system=p.system,
        tables=(_beside(p), *([_stations(p, p.shave)] if p.shave is not None else [])),
        pictures=(_picture(p),),
        data=_data(p),
        searched=(
            "either oar, every row of its stations clear of hand, lock or cradles and of fitted joints, in steps of "
            f"{length[0]} up to {length[1]} off each size; alike is {percent(ALIKE['weight'])} of weight, "
            f"{length[2]} of balance, {percent(ALIKE['sag'])} of sag (judgement); "
            "none that leaves a hollow in the curve; the least wood "
            "that makes them so",
            f"the oar taken down may be used {percent(p.most_used, 'up')} at most"
            + ("" if p.margin_told else ": no more than the worse of the two is now"),
        ),
        assumptions=(
            *dict.fromkeys(p.assumptions),
            f"sag under {show(10.0, 'mass', p.system)}, read {length[3]} from the handle end, "
            + ("hand held down, resting on the lock" if one_piece(p.shafts[0]) else "clamped in the outer cradle"),
            *(f"not measured, so computed: {o}" for o in open_),
        ),
        cautions=(
            "Take off half, weigh and bend again, then the rest: what is cut off does not come back.",
            *(("Two oars of one drawing differ by their wood: measure both before you cut.",) if open_ else ()),
        ),
        winners=() if p.shave is None else (_winner(p, p.shave),),
    )


def _difference(key: str, a: float, b: float, system: System) -> str:
    if key == "balance":
        return "alike" if abs(a - b) <= ALIKE["balance"] else show(a - b, "length", system)
    part = (a - b) / ((a + b) / 2.0)
    return "alike" if abs(part) <= ALIKE["weight" if key == "mass" else "sag"] else percent(part, signed=True)


def _stations(p: _Pair, shave: Shave) -> Table:
    rows = []
    for s in p.shafts[shave.oar].stations[shave.zone.first : shave.zone.last + 1]:
        sizes = ((s.depth, s.width), (s.depth - shave.depth, s.width - shave.width))
        texts = (" by ".join(show(float(v), "length", p.system) for v in pair) for pair in sizes)
        rows.append((show(float(s.x), "length", p.system), *texts))
    return Table(
        title=f"Sizes of {_LETTERS[shave.oar]}, fore and aft by up and down",
        heads=("from handle end", "now", "then"),
        rows=tuple(rows),
        numeric=(0, 1, 2),
    )


def _picture(p: _Pair) -> Picture:
    unit, per = axis("length", p.system)
    curves = [_profile(name, s, per) for name, s in zip(p.names, p.shafts, strict=True)]
    if p.shave is not None:
        one = map_arrays(lambda a: a[0], p.cut(p.shave))
        curves.append(_profile(f"{_LETTERS[p.shave.oar]} taken down", one, per))
    return Picture(
        title="Fore-and-aft size along the two oars",
        says="Lines of the fore-and-aft size along each oar, and of the one that is taken down as it will be.",
        x_label=f"from the handle end, {unit}",
        y_label=f"fore and aft, {unit}",
        curves=tuple(curves),
    )


def _profile(label: str, shaft: Shaft, per: float) -> Curve:
    x = np.linspace(0.0, float(shaft.blade.neck), 161)
    depth, _, _, _ = sections.at(x[None], shaft.stations)
    return Curve(label=label, x=x / per, y=depth[0] / per)


QUESTION = Question(
    asks="do the two oars of a pair match, and where would you take off what?",
    ask=_ask,
    files="two",
    examples=(
        "match-pair port.toml starboard.toml",
        'match-pair port.toml starboard.toml --margin "15 %" --plot pair.svg --write port-taken-down.toml',
    ),
    options={
        "margin": Key(
            kind="moisture",
            help="that the oar taken down must keep; left out: it is used no more than the worse of the two is now",
            example="15 %",
            optional=True,
            high=1.0,
        ),
        "most": Key(
            kind="length",
            help="off any size, both faces together",
            example="5 mm",
            assume="5 mm",
            low=0.0005,
            high=0.015,
        ),
        "step": Key(
            kind="length",
            help="of what is tried, both faces together; left out: 1 mm or 1/16 in",
            example="1 mm",
            optional=True,
            low=0.00025,
            high=0.005,
        ),
    },
)
