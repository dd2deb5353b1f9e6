"""An answer as plain data for programs: numbers with their units, nothing computed here.

A number that is not known and one that is without limit are told apart: `{"value": null, "why": "not known"}` and
`{"value": null, "why": "without limit"}`.
"""

from __future__ import annotations

import math
from importlib.metadata import version
from typing import Any

from shaftcheck.answer import Answer, Oar, different
from shaftcheck.border.shaftfile import Entry, Reading
from shaftcheck.border.shown import System, say
from shaftcheck.hinging import MOUNTING_SOURCE, Mounted
from shaftcheck.pulls import untold
from shaftcheck.said import Said, Size
from shaftcheck.stowing import STOWING_SOURCE
from shaftcheck.studies.needs import Need

__all__ = ["SCHEMA", "record", "value"]

SCHEMA = 1
"""of what is printed for programs: it rises by one when a key goes or changes its meaning; keys may be added"""

_UNITS: dict[str, str] = {
    "length": "m", "fit": "m", "area": "m^2", "mass": "kg", "force": "N", "speed": "m/s", "slope": "", "ratio": "",
    "moisture": "", "count": "", "stress": "Pa", "moment": "N m", "inertia": "kg m^2", "temperature": "K",
}  # fmt: skip


def value(number: Any, unit: str) -> dict[str, Any]:
    """Return one number with its unit."""
    v = float(number)
    if math.isnan(v):
        return {"value": None, "unit": unit, "why": "not known"}
    if math.isinf(v):
        return {"value": None, "unit": unit, "why": "without limit"}
    return {"value": v, "unit": unit}


def _pull(newtons: float, untold: str) -> dict[str, Any]:
    """Return a pull to work to, with why there is none."""
    out = value(newtons, "N")
    return out | {"why": untold} if math.isnan(newtons) and untold else out


def _needed(need: Need, size: float, none: str = "") -> dict[str, Any]:
    """Return a size that is needed, a slope as rise over run."""
    out = value(1.0 / size if need.dimension == "slope" else size, _UNITS[need.dimension])
    return out | {"why": none} if math.isnan(size) else out


def _entry(e: Entry) -> dict[str, Any]:
    unit = _UNITS.get(e.key.kind)

    def one(v: float | str) -> Any:
        return v if unit is None or isinstance(v, str) else value(v, unit)

    out: dict[str, Any] = {"written": e.text, "known": e.how}
    if e.value is not None:
        out["understood"] = one(e.value)
    if e.options:
        out["tried"] = [one(o) for o in e.options]
    return out


def _said(sentence: Said, system: System) -> dict[str, Any]:
    sizes = {name: value(p.value, _UNITS[p.dimension]) for name, p in sentence.parts if isinstance(p, Size)}
    return {"text": say(sentence, system), "sizes": sizes}


def _oar(first: Reading, oar: Oar, system: System) -> dict[str, Any]:
    m, w, g = oar.movement, oar.whole, oar.gives
    low_high = dict(zip(("half", "low", "high"), (value(p, "N") for p in oar.to_break), strict=True))
    return {
        "label": oar.label or "as it stands",
        "verdict": oar.state,
        "sentences": list(oar.sentences),
        "checks": [
            {
                "check": line.check,
                "kind": line.kind,
                "known": line.known,
                "met": line.met,
                "use": value(line.use, ""),
                "margin": value(line.margin, "") if not math.isnan(line.use) else value(math.nan, ""),
                "case": line.case,
                "case_title": line.case_title,
                "from_handle_end": value(line.x, "m"),
                "place": line.place,
                "demand": value(line.demand, line.unit),
                "capacity": value(line.capacity, line.unit),
                "good_for": value(line.good_for, line.good_for_unit) | {"of": line.good_for_words},
                "source": line.source,
                "missing": line.unknown,
            }
            for line in oar.lines
        ],
        "cases": [
            {
                "case": c.case,
                "title": c.title,
                "load": value(c.load, c.unit) | {"of": c.words},
                "governed_by": c.check,
                "known": c.known,
                "use": value(c.use, ""),
                "from_handle_end": value(c.x, "m"),
                "place": c.place,
                "stretched_face": c.bends,
                "good_for": value(c.good_for, c.unit),
                "source": c.source,
            }
            for c in oar.cases
        ],
        "work_to": {k: _pull(v, untold(oar.lines)) for k, v in oar.pulls.items()},
        "asked": {k: value(v, "N") for k, v in oar.asked.items()},
        "about_half_would_have_broken": low_high,
        "told_not_demanded": {
            "force_on_the_blade": value(g.blade, "N"),
            "weight_between_supports": value(g.across, "N"),
            "drop_height": value(g.drop, "m"),
        },
        "whole": {
            "weight": value(w.mass, "kg"),
            "balance_from_handle_end": value(w.balance, "m"),
            "hand_force_to_lift_the_blade": value(w.lift, "N"),
            "swing_inertia": value(w.inertia, "kg m^2"),
        },
        "movement_at_the_greatest_pull": {
            "blade_clamped_at_the_lock": value(m.clamped, "m"),
            "blade_hand_held": value(m.held, "m"),
            "part_that_is_shear": value(m.shear_share, ""),
            "hand": value(m.hand, "m"),
            "stiffness_at_the_blade": value(m.stiffness, "N/m"),
            "stiffness_at_the_blade_when_caught": value(m.stiffness_dry, "N/m"),
        },
        "strength": {
            "of": oar.ladder_of,
            "rungs": [
                {
                    "rung": s.name,
                    "factor": value(s.factor.item(), ""),
                    "after": value(s.after.item(), "Pa"),
                    "source": s.source,
                }
                for s in oar.ladder
            ],
        },
        "damage_sum": value(oar.damage, ""),
        "steady_use_if_the_fatigue_line_were_a_fifth_lower": value(oar.steady_if_a_fifth_lower, ""),
        "joint_needs": [
            {
                "joint": None if n.joint is None else n.joint + 1,
                "kind": n.kind,
                "size": n.key,
                "told": _needed(n, n.told),
                "at_least": _needed(n, n.least, "none is enough"),
                "at_most": _needed(n, n.most, "none that was tried is too much"),
                "bars": list(n.bars),
            }
            for n in oar.needs
        ],
        "stowed": {
            "verdict": oar.stowed.state or None,
            "words": list(oar.stowed.words),
            "pieces": [
                {
                    "piece": p.bar.name,
                    "long": value(p.bar.length, "m"),
                    "wide": value(p.bar.wide, "m"),
                    "thick": value(p.bar.thick, "m"),
                    "lies": None if p.lying is None else p.lying.way or "does not stow",
                    "longest_that_would": None if p.lying is None else value(p.lying.longest, "m"),
                }
                for p in oar.stowed.pieces
            ],
            "source": STOWING_SOURCE,
        },
        "on_the_mounting": None if oar.mounted is None else _mounting(oar.mounted),
        "what_would_change_it": list(oar.advice),
        "told_of_the_joints": [{"grade": n.grade, **_said(n.text, system), "origin": n.origin} for n in oar.notes],
        "assumptions": [_said(words, system) for words in oar.assumptions],
        "inputs_that_differ": {}
        if first is oar.reading
        else {e.path: _entry(e) for e in different(first, oar.reading)},
    }


def _mounting(m: Mounted) -> dict[str, Any]:
    return {
        "cases": [
            {
                "case": f.case,
                "title": f.title,
                "load": value(f.driver, f.driver_unit),
                "link": value(f.link, "N"),
                "inner_pin": value(f.inner_pin, "N"),
                "outer_pin": value(f.outer_pin, "N"),
                "couple_about_the_inner_pin": value(f.couple, "N m"),
                "pin_over_pull": value(f.times, ""),
            }
            for f in m.forces
        ],
        "inner_pin_tipped_by": value(m.tilt_inner, "N m"),
        "outer_pin_tipped_by": value(m.tilt_outer, "N m"),
        "along_the_outer_half": value(m.along, "N"),
        "words": list(m.words),
        "source": MOUNTING_SOURCE,
    }


def record(a: Answer) -> dict[str, Any]:
    """Return the whole answer, ready for JSON."""
    return {
        "schema": SCHEMA,
        "shaftcheck": version("shaftcheck"),
        "file": a.name,
        "title": a.title,
        "note": a.note,
        "verdict": a.state,
        "oars": [_oar(a.reading, o, a.system) for o in a.oars],
        "options": [
            {
                "option": o.label,
                "verdict": o.state,
                "work_to": {"once": _pull(o.once, o.untold), "steady": _pull(o.steady, o.untold)},
                "weakest": None
                if o.weakest is None
                else {
                    "check": o.weakest.check,
                    "use": value(o.weakest.use, ""),
                    "from_handle_end": value(o.weakest.x, "m"),
                    "place": o.weakest.place,
                },
                "weight": value(o.mass, "kg"),
                "words": [_said(w, a.system) for w in o.words],
                "what_then": o.second,
            }
            for o in a.options
        ],
        "inputs": {path: _entry(e) for path, e in a.reading.entries.items()},
        "woods": {
            name: {
                "botanical": card.botanical,
                "values": [
                    {
                        "property": row.property,
                        "condition": row.condition,
                        "printed": row.printed,
                        "unit": row.unit,
                        "source": row.source,
                        "how": row.how,
                        "taken": row.taken,
                    }
                    for row in card.rows
                ],
                "lacks": [{"check": lack.check, "needs": lack.needs} for lack in card.missing],
            }
            for name, card in {k: c for o in a.oars for k, c in o.reading.woods.items()}.items()
        },
        "unknown": {
            "words": a.unknown_words,
            "inputs": [{"key": u.path, "words": u.words, "settles": value(u.settles, "")} for u in a.unknowns],
        },
        "measured": [
            {"what": m.what, "measured": value(m.told, unit), "computed": value(m.computed, unit)}
            for m in a.measured
            for unit in ("kg" if m.dimension == "mass" else "m",)
        ],
        "cautions": [{"code": code, "text": text} for code, text in a.cautions],
        "not_part_of_the_question": list(a.not_asked),
    }
