"""What breaks first, and at what pull?"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np

from shaftcheck.answer import cases_of, lines_of
from shaftcheck.beam import Beam
from shaftcheck.border.assemble import Built
from shaftcheck.border.shown import System, axis, say, show
from shaftcheck.checks.compare import NOT_CHECKED
from shaftcheck.checks.lock import lock_forces
from shaftcheck.engine import refined, uses, worst
from shaftcheck.frozen import frozen
from shaftcheck.loads import loaded
from shaftcheck.loads.mounting import mounting
from shaftcheck.model import Hinged, number
from shaftcheck.pulls import barred_by, pulls_to_work_to
from shaftcheck.questions.question import Asked, Finding, Picture, Question, Table, numbers, ready
from shaftcheck.said import Dimension, Side
from shaftcheck.studies.expected import FRICTION_WORDS, Order, Told, order
from shaftcheck.words import near

__all__ = ["QUESTION"]

_DOES = {
    "breaks": "breaks",
    "splits": "splits",
    "dents": "is dented",
    "buckles": "buckles",
    "wears out": "wears out",
    "slips": "slips",
    "loosens": "comes loose",
    "does not fit": "does not fit",
}


@frozen
class _Found:
    """What was found, in SI."""

    beam: Beam
    system: System
    rows: tuple[Order, ...]
    """in the order of the limits as all loads grow together"""
    open_: tuple[str, ...]
    barred: tuple[str, ...]
    once: float
    """single pull to work to, as `check` says it [N]"""

    @property
    def pulled(self) -> list[tuple[Order, Told]]:
        """Return what a single pull alone brings about, in the order of where half give way."""
        known = [(o, o.once) for o in self.rows if o.once is not None and not math.isinf(o.once.work_to)]
        return sorted(known, key=lambda p: (math.isnan(p[1].half), p[1].half))

    @property
    def first(self) -> tuple[Order, Told] | None:
        """Return what gives way first under a single pull alone: its half, and the least of both marks."""
        finite = [(o, t) for o, t in self.pulled if math.isfinite(t.half)]
        if not finite:
            return None
        low, high = (min(getattr(t, mark) for _, t in finite) for mark in ("low", "high"))
        return finite[0][0], replace(finite[0][1], low=low, high=high)

    @property
    def together(self) -> Order | None:
        """Return what gives way first as all loads grow together."""
        return min((o for o in self.rows if math.isfinite(o.times[2])), key=lambda o: o.times[2], default=None)


def _ask(asked: Asked) -> Finding:
    reading, built, _ = ready(asked)
    f = _find(built, asked.system or reading.system)
    beam, system = f.beam, f.system
    strongest = min((t.high for o, t in f.pulled if o.kind in ("breaks", "splits")), default=math.nan)
    bears = _bears(beam, strongest, system)
    shown = [(o, t) for o, t in f.pulled if math.isfinite(t.high) and math.isfinite(t.work_to)]
    _, per = axis("force", system)
    return Finding(
        question="what-breaks",
        title=reading.title or reading.name,
        sentence=_sentence(f),
        answered=not f.open_ and not f.barred,
        system=system,
        tables=() if f.barred else (_alone(f), _all(f), *((bears,) if bears is not None else ())),
        pictures=()
        if f.barred
        else (
            Picture(
                title="What gives way, and at what pull",
                says="For each check that a single pull brings about, in the order in which half give way: the pull to "
                f"work to, and the range in which 9 of 10 such shafts give way. {_first_words(f)}",
                x_label=f"single pull at the hand, {axis('force', system)[0]}",
                y_label="",
                spans=tuple((o.check, t.work_to / per, t.low / per, t.half / per, t.high / per) for o, t in shown),
            ),
        ),
        data=_data(f, strongest),
        searched=(
            "every check under every load that the shaft must hold; rules of place and make, and standing forces, are "
            "not in this order: see check",
        ),
        assumptions=(
            *(say(s, system) for s in built.assumptions),
            "where half give way: table means at the moisture in use, lasting and repeated load and the grain's mean "
            "effect in it, no safety, a joint's own factors as in the limits; the scatter is lognormal and the same "
            "mark for every property of every piece (judgement); tubes and pins do not vary",
            *((FRICTION_WORDS,) if isinstance(built.shaft.rig, Hinged) else ()),
        ),
        cautions=("Where half give way is an estimate of breaking, not for use; work to what `check` says.",),
    )


def _find(built: Built, system: System) -> _Found:
    beam = loaded(built.shaft, number(built.own))
    x = refined(beam)
    found = uses(beam, x)
    lines, cases = lines_of(beam, worst(beam, found)), cases_of(beam, found)
    rows = tuple(o for o in order(beam) if not math.isinf(o.times[0]))
    open_ = [o.check for o in rows if math.isnan(o.times[0])]
    open_ += [line.check for line in lines if line.kind == NOT_CHECKED or not line.known]
    return _Found(
        beam=beam,
        system=system,
        rows=rows,
        open_=tuple(dict.fromkeys(open_)),
        barred=tuple(dict.fromkeys((*barred_by(lines), *(o.check for o in rows if o.once and o.once.work_to == 0.0)))),
        once=pulls_to_work_to(beam, x, lines, cases)["once"],
    )


def _data(f: _Found, strongest: float) -> dict[str, Any]:
    beam = f.beam

    def told(t: Told) -> dict[str, Any]:
        unit = beam.cases[t.case].driver_unit
        figures = {"work_to": t.work_to, "half_gives_way": t.half, "low": t.low, "high": t.high}
        return {"from_handle_end": numbers(t.x, "m"), **{k: numbers(v, unit) for k, v in figures.items()}}

    return {
        "work_to_once": numbers(f.once, "N"),
        "single_pull": [{"check": o.check, "what_happens": o.kind, **told(t)} for o, t in f.pulled],
        "order": [
            {
                "check": o.check,
                "what_happens": o.kind,
                "told_as": beam.cases[o.together.case].title,
                **told(o.together),
                "half_gives_way_at_times": numbers(o.times[2], ""),
            }
            for o in f.rows
        ],
        "not_known": list(f.open_),
        "good_for_no_pull": list(f.barred),
        "pull_that_breaks_the_strongest": numbers(strongest, "N"),
    }


def _size(f: _Found, t: Told, value: float, side: Side = "near") -> str:
    if math.isnan(value):
        return "not known"
    if f.beam.cases[t.case].driver_unit != "N":
        return f"{value:.2g} times"
    return show(value, "force", f.system, side=side)


def _figures(f: _Found, t: Told) -> tuple[str, str, str]:
    """Return what to work to, where half give way, and the band."""
    if math.isnan(t.half):
        return _size(f, t, t.work_to, "down"), _size(f, t, t.half), ""
    low, high = _size(f, t, t.low, "down"), _size(f, t, t.high)
    band = f"{low.removesuffix(' N').removesuffix(' lb')} to {high}"
    return _size(f, t, t.work_to, "down"), _size(f, t, t.half, "down"), band


def _alone(f: _Found) -> Table:
    rows = []
    for o, t in f.pulled:
        work_to, half, band = _figures(f, t)
        rows.append((o.check, _DOES.get(o.kind, o.kind), show(t.x, "length", f.system), half, band, work_to))
    return Table(
        title="A single pull at the hand, and no other load, in the order in which half give way",
        heads=("check", "what happens", "from handle end", "half give way", "9 of 10", "limit"),
        rows=tuple(rows),
        numeric=(2, 3, 4, 5),
    )


def _all(f: _Found) -> Table:
    rows = []
    for o in f.rows:
        case, t = f.beam.cases[o.together.case], o.together
        under = "every stroke of a life" if o.kind == "wears out" else case.title
        limit, half, band = _figures(f, t)
        grown = "not known" if math.isnan(o.times[2]) else f"{o.times[2]:.2f}"
        must = _size(f, t, float(case.driver), "up")
        rows.append((o.check, under, show(t.x, "length", f.system), must, limit, half, band, grown))
    return Table(
        title="All loads that it must hold, grown together, in the order in which the design limits are met; each told "
        "by the load that asks most of it (a pull is at the hand, a caught blade's load on the blade)",
        heads=("check", "under", "from handle end", "must hold", "limit", "half give way", "9 of 10", "times"),
        rows=tuple(rows),
        numeric=(2, 3, 4, 5, 6, 7),
    )


def _first_words(f: _Found) -> str:
    if f.first is None:
        return "Nothing that a pull brings about is known."
    first, t = f.first
    half, low, high = _size(f, t, t.half, "down"), _size(f, t, t.low, "down"), _size(f, t, t.high)
    said = (
        f"As a single pull grows, about half of such shafts would first have given way at {half} (9 of 10 between "
        f"{low} and {high}): {near(f.beam.shaft, t.x)} it {_DOES.get(first.kind, first.kind)} ({first.check})."
    )
    return said + _together_words(f, t.half)


def _together_words(f: _Found, half: float) -> str:
    """Return what gives way before as all loads grow together, and the single pull of them by then."""
    o = f.together
    pull = float(f.beam.cases[f.beam.case("once")].pull)
    if o is None or o.times[2] * pull > half * (1.0 - 1e-3):
        return ""
    case = f.beam.cases[o.together.case]
    under = "over a life's strokes" if o.kind == "wears out" else case.when or f"under {case.title}"
    return (
        f" Were all loads that it must hold to grow together, half would first have given way at {o.times[2]:.2f} "
        f"times them, when the single pull is {show(o.times[2] * pull, 'force', f.system, side='down')}: "
        f"{near(f.beam.shaft, o.together.x)} it {_DOES.get(o.kind, o.kind)} {under} ({o.check})."
    )


def _sentence(f: _Found) -> str:
    if f.barred:
        names = ", ".join(f.barred)
        return f"It is good for no pull as it is: {names} is over its limit before anybody pulls; see check."
    said = _first_words(f)
    if math.isnan(f.once):
        said += " No pull to work to can be told."
    elif f.pulled:
        known = [(o, t) for o, t in f.pulled if not math.isnan(t.work_to)]
        least, t = min(known, key=lambda p: p[1].work_to)
        work_to = show(f.once, "force", f.system, side="down")
        said += f" Work to {work_to} once"
        if f.once >= t.work_to * (1.0 - 1e-4):
            said += f", the limit of {least.check}."
        else:
            said += ": the limits below are of this pull alone, and with it grow backing and the pulls of a life."
    if f.open_:
        said += f" Not known, and perhaps before that: {', '.join(f.open_)}."
    return said


def _bears(beam: Beam, pull: float, system: System) -> Table | None:
    """Return what the lock, or pins and mounting, must bear if the shaft is stronger than nearly all of its kind."""
    if not math.isfinite(pull):
        return None
    once = beam.case("once")
    times = pull / float(beam.cases[once].pull)
    if isinstance(beam.shaft.rig, Hinged):
        m = mounting(beam)
        parts: list[tuple[str, float, Dimension]] = [
            ("link", float(m.link[..., once]), "force"),
            ("inner pin", float(m.inner_pin[..., once]), "force"),
            ("outer pin", float(m.outer_pin[..., once]), "force"),
            ("couple on the mounting", float(m.couple[..., once]), "moment"),
        ]
    else:
        parts = [("lock", float(lock_forces(beam)[0][..., once, 0]), "force")]
    rows = tuple(
        (name, "not known: give link_arm" if np.isnan(v) else show(v * times, kind, system, side="up"))
        for name, v, kind in parts
    )
    return Table(
        title=f"What must bear if the shaft does not break before {show(pull, 'force', system)} at the hand "
        "(95 of 100 would have)",
        heads=("part", "must bear"),
        rows=rows,
        numeric=(1,),
    )


QUESTION = Question(
    asks="what breaks first, and at what pull?",
    ask=_ask,
    finds=False,
    changed=True,
    examples=("what-breaks my-oar.toml", "what-breaks my-oar.toml --plot order.svg", "what-breaks my-oar.toml --json"),
)
