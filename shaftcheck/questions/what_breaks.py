"""What breaks first, and at what pull?"""

from __future__ import annotations

import math

import numpy as np

from shaftcheck.beam import Beam
from shaftcheck.border.shown import System, axis, say, show
from shaftcheck.checks.compare import NOT_CHECKED
from shaftcheck.checks.lock import lock_forces
from shaftcheck.engine import run
from shaftcheck.loads import loaded
from shaftcheck.loads.mounting import mounting
from shaftcheck.model import Hinged, number
from shaftcheck.questions.question import Asked, Finding, Picture, Question, Table, numbers, ready
from shaftcheck.said import Dimension
from shaftcheck.studies.expected import Order, order
from shaftcheck.words import near

__all__ = ["QUESTION"]

_DOES = {
    "breaks": "breaks",
    "splits": "splits",
    "dents": "is dented",
    "buckles": "buckles",
    "wears out": "wears out",
    "loosens": "comes loose",
    "does not fit": "does not fit",
}


def _ask(asked: Asked) -> Finding:
    reading, built, _ = ready(asked, after=True)
    system = asked.system or reading.system
    beam = loaded(built.shaft, number(built.own))
    rows = tuple(o for o in order(beam) if not math.isinf(o.work_to))
    open_ = [o.check for o in rows if math.isnan(o.work_to)]
    found = run(beam)
    open_ += [r.check for r in found if r.kind == NOT_CHECKED or not bool(r.known)]
    # what no pull brings about and no pull mends: a crease, a rule of place or make, a clamp that stands
    barred = [r.check for r in found if int(r.case) < 0 and r.kind != "wears out" and float(r.use) > 1.0]
    open_ = list(dict.fromkeys(open_))
    pulls = [o for o in rows if beam.cases[o.case].key == "once"]
    by_half = sorted((o for o in pulls if math.isfinite(o.half)), key=lambda o: o.half)
    first = by_half[0] if by_half else None
    table = Table(
        title="In the order in which the design limits are met",
        heads=("check", "what happens", "told as", "from handle end", "work to", "half give way", "9 of 10"),
        rows=tuple(_row(o, beam, system) for o in rows),
        numeric=(3, 4, 5, 6),
    )
    tables = [table]
    strongest = min((o.high for o in by_half if o.kind in ("breaks", "splits")), default=math.nan)
    bears = _bears(beam, strongest, system)
    if bears is not None:
        tables.append(bears)
    unit, per = axis("force", system)
    shown = [o for o in pulls if math.isfinite(o.high) and math.isfinite(o.work_to)]
    return Finding(
        question="what-breaks",
        title=reading.title or reading.name,
        sentence=_sentence(first, rows, beam, open_, barred, system),
        answered=not open_ and not barred,
        system=system,
        tables=() if barred else tuple(tables),
        pictures=()
        if barred
        else (
            Picture(
                title="What gives way, and at what pull",
                says="For each check that a pull brings about, least first: the pull to work to, and the range in "
                f"which 9 of 10 such shafts give way. {_first_words(first, beam, system)}",
                x_label=f"single pull at the hand, {unit}",
                y_label="",
                spans=tuple((o.check, o.work_to / per, o.low / per, o.half / per, o.high / per) for o in shown),
            ),
        ),
        data={
            "order": [
                {
                    "check": o.check,
                    "what_happens": o.kind,
                    "told_as": beam.cases[o.case].title,
                    "from_handle_end": numbers(o.x, "m"),
                    "work_to": numbers(o.work_to, beam.cases[o.case].driver_unit),
                    "half_gives_way": numbers(o.half, beam.cases[o.case].driver_unit),
                    "low": numbers(o.low, beam.cases[o.case].driver_unit),
                    "high": numbers(o.high, beam.cases[o.case].driver_unit),
                }
                for o in rows
            ],
            "not_known": open_,
            "good_for_no_pull": barred,
            "pull_that_breaks_the_strongest": numbers(strongest, "N"),
        },
        searched=(
            "every check under every load that the shaft must hold; rules of place and make, and standing forces, are "
            "not in this order: see check",
        ),
        assumptions=(
            *(say(s, system) for s in built.assumptions),
            "where half give way: table means at the moisture in use, lasting and repeated load and the grain's mean "
            "effect in it, no safety, a joint's own factors as in the limits; the scatter is lognormal and the same "
            "mark for every property of every piece (judgement)",
        ),
        cautions=("Where half give way is an estimate of breaking, not for use; work to the first figure.",),
    )


def _size(o: Order, value: float, beam: Beam, system: System, side: str = "near") -> str:
    case = beam.cases[o.case]
    dimension: Dimension | None = {"N": "force"}.get(case.driver_unit)  # type: ignore[assignment]
    if math.isnan(value):
        return "not known"
    if dimension is None:
        return f"{value:.2g} times"
    return show(value, dimension, system, side=side)  # type: ignore[arg-type]


def _row(o: Order, beam: Beam, system: System) -> tuple[str, ...]:
    case = beam.cases[o.case]
    told = "a single pull" if case.key == "once" else "the pull of every stroke" if case.key == "steady" else case.title
    band = "" if math.isnan(o.half) else _band(o, beam, system)
    return (
        o.check,
        _DOES.get(o.kind, o.kind),
        told,
        show(o.x, "length", system),
        _size(o, o.work_to, beam, system, "down"),
        _size(o, o.half, beam, system),
        band,
    )


def _band(o: Order, beam: Beam, system: System) -> str:
    low, high = (_size(o, v, beam, system) for v in (o.low, o.high))
    return f"{low.removesuffix(' N').removesuffix(' lbf')} to {high}"


def _first_words(first: Order | None, beam: Beam, system: System) -> str:
    if first is None:
        return "Nothing that a pull brings about is known."
    place = near(beam.shaft, first.x)
    half, low, high = (_size(first, v, beam, system) for v in (first.half, first.low, first.high))
    return (
        f"As the pull grows, about half of such shafts would first have given way at {half} (9 of 10 between {low} and "
        f"{high}): {place} it {_DOES.get(first.kind, first.kind)} ({first.check})."
    )


def _sentence(
    first: Order | None, rows: tuple[Order, ...], beam: Beam, open_: list[str], barred: list[str], system: System
) -> str:
    if barred:
        names = ", ".join(dict.fromkeys(barred))
        return f"It is good for no pull as it is: {names} is over its limit before anybody pulls; see check."
    said = _first_words(first, beam, system)
    if first is not None:
        pulled = [o for o in rows if beam.cases[o.case].key == "once" and not math.isnan(o.work_to)]
        least = min(pulled, key=lambda o: o.work_to, default=None)
        if least is not None:
            said += f" Work to {_size(least, least.work_to, beam, system, 'down')} once, the limit of {least.check}."
    if open_:
        said += f" Not known, and perhaps before that: {', '.join(open_)}."
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
    examples=("what-breaks my-oar.toml", "what-breaks my-oar.toml --plot order.svg", "what-breaks my-oar.toml --json"),
)
