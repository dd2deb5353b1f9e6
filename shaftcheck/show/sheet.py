"""The shop sheet of an answer: one HTML page that can be read, carried and printed. Nothing is computed here."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Sequence
from typing import Any

from shaftcheck.along import along, weakest
from shaftcheck.answer import Answer, Line, Oar, different
from shaftcheck.border.shaftfile import Entry
from shaftcheck.border.shown import System, say, show
from shaftcheck.model import Hinged
from shaftcheck.show import details, diagrams, drawing, rows
from shaftcheck.show.page import render, shown
from shaftcheck.show.rows import Grid
from shaftcheck.show.workings import Working, workings
from shaftcheck.stowing import STOWING_SOURCE

__all__ = ["sheet"]


def sheet(a: Answer) -> str:
    """Return the sheet of an answer; of an oar that is to be changed, both oars, and the details of it as changed."""
    system, oar = a.system, a.oars[-1]
    runs = [along(o) for o in a.oars]
    found_details = details.details(oar, system)
    joints: list[dict[str, Any]] = [
        {
            "title": d.title,
            "pic": shown(d.draw(""), f"joint{i}", d.title, d.says),
            **_checked(d.lines, system),
            "notes": [_note(n, system) for n in d.notes],
        }
        for i, d in enumerate(found_details, 1)
    ]
    told = [note for j in joints for note in j["notes"]]
    others = [note for note in (_note(n, system) for n in oar.notes) if note not in told]
    found = [_worked(w, system) for w in workings(oar, system)]
    parted = _parted(oar)
    sections = [
        ("shaft", "The shaft"), ("along", "Along the shaft"), ("checks", "Every check"),
        *([("joints", parted.capitalize())] if joints or others else []),
        ("strength", "Strength"), ("weights", "Weights"), ("loads", "Loads"),
        *([("worked", "Worked lines")] if found else []),
        ("cautions", "Cautions"), ("inputs", "Inputs"),
    ]  # fmt: skip
    mounting = rows.mounting(oar, system)
    return render(
        "sheet.html",
        title=a.title or a.name,
        note=a.note,
        file=a.name,
        verdicts=[_verdict(o, system) for o in a.oars],
        unknown_words=a.unknown_words,
        options=rows.options(a),
        option_words=rows.option_words(a, alone=True),
        pulls=rows.pulls(a.oars, system, alone=True),
        differs=_differs(a),
        contents=sections,
        drawings=[
            shown(
                drawing.drawn(o, run, system),
                f"shaft{i}",
                f"The shaft drawn to scale{_which(o)}",
                drawing.in_words(o, run, system),
            )
            for i, (o, run) in enumerate(zip(a.oars, runs, strict=True))
        ],
        diagrams=[
            shown(
                diagrams.diagrams(oar, runs[-1], system),
                "along",
                f"Moment, shear, fibre stress and use along the shaft, from the handle end{_which(oar)}",
                diagrams.in_words(oar, runs[-1], system),
            )
        ],
        checks=[
            *(_checked(o.lines, system) | {"caption": f"Checks at their worst{_which(o)}"} for o in a.oars[:-1]),
            _checked(_rest(oar, found_details), system)
            | {"caption": f"Checks of the shaft at their worst{_which(oar)}"},
        ],
        joints=joints,
        others=others,
        parted=parted,
        apart=_apart(oar),
        needs=rows.needs(oar, system),
        stowed=rows.stowed(oar, system),
        stowing=f"{STOWING_SOURCE}." if oar.stowed.state else "",
        ladder=rows.ladder(oar, system),
        ladder_caption=f"Rung by rung: {oar.ladder_of}",
        whole=[_raised(text) for text in rows.whole(oar, system)],
        measured=rows.measured(a),
        cases=rows.every_case(oar, system),
        mounting=mounting,
        mounting_words=oar.mounted.words if oar.mounted is not None else (),
        worked=found,
        cautions=[text for _, text in a.cautions],
        not_asked=a.not_asked,
        assumptions=[say(text, system) for text in oar.assumptions],
        inputs=_inputs(a.reading.entries.values(), system),
    )


def _rest(oar: Oar, found: Sequence[details.Detail]) -> list[Line]:
    """Return the comparisons that do not stand with a joint or cradle."""
    theirs = Counter(repr((line.check, line.x, line.use)) for d in found for line in d.lines)
    out = []
    for line in oar.lines:
        key = repr((line.check, line.x, line.use))
        if theirs[key] > 0:
            theirs[key] -= 1
        else:
            out.append(line)
    return out


def _parted(oar: Oar) -> str:
    """Return what has a drawing of its own."""
    rig = "cradles" if isinstance(oar.shaft.rig, Hinged) else "lock"
    return f"joints and {rig}" if oar.shaft.joints else rig


def _apart(oar: Oar) -> str:
    """Return what has a table of its own."""
    parts = (("joints", bool(oar.shaft.joints)), ("cradles", isinstance(oar.shaft.rig, Hinged)))
    return " and ".join(name for name, there in parts if there)


def _which(oar: Oar) -> str:
    return f", {oar.label}" if oar.label else ""


def _verdict(oar: Oar, system: System) -> dict[str, Any]:
    line = weakest(oar)
    where = ""
    if line is not None and not math.isnan(line.x):
        used = rows.percent(line.use, line.known)
        where = f"{line.place}, {show(line.x, 'length', system)} from the handle end: {line.check}, {used} used"
    return {
        "state": oar.state,
        "label": oar.label,
        "sentences": oar.spoken,
        "stowing": (oar.stowed.state, oar.stowed.sentence) if oar.stowed.state else (),
        "weakest": where,
        "advice": oar.advice,
    }


def _checked(lines: Sequence[Line], system: System) -> dict[str, Any]:
    grid = rows.checks(lines, system)
    asked = [line for line in lines if not (line.use == 0.0 and line.demand == 0.0)]
    return {
        "grid": grid,
        "over": [i for i, line in enumerate(asked) if not line.met],
        "met": rows.met_besides(lines),
        "missing": rows.missing(lines),
    }


def _raised(text: str) -> str:
    """Return a text with the powers of its units raised."""
    return re.sub(r"(?<=[0-9] )((?:kg |lb )?(?:m|mm|cm|in|ft))\^([234])", lambda m: m[1] + "²³⁴"[int(m[2]) - 2], text)


def _worked(w: Working, system: System) -> dict[str, Any]:
    under = f" under {w.line.case_title}" if w.line.case_title else ""
    place = "" if math.isnan(w.line.x) else f", {show(w.line.x, 'length', system)}"
    return {
        "title": f"{w.line.check}: {rows.percent(w.line.use, w.line.known)} used{under}{place}",
        "again": w.again,
        "lines": w.lines,
    }


def _note(note: Any, system: System) -> dict[str, str]:
    return {"grade": note.grade.capitalize(), "text": say(note.text, system), "origin": note.origin}


def _inputs(entries: Any, system: System) -> list[tuple[str, str, str]]:
    return [(path, _raised(text), how) for path, text, how in rows.inputs(entries, system)]


def _differs(a: Answer) -> Grid | None:
    if len(a.oars) < 2:
        return None
    changed: Sequence[Entry] = different(a.reading, a.oars[-1].reading)
    before = {path: text for path, text, _ in rows.inputs(a.reading.entries.values(), a.system)}
    body = [(path, before.get(path, "not there"), text) for path, text, _ in rows.inputs(changed, a.system)]
    return Grid(("key", a.oars[0].label, a.oars[-1].label), tuple(body), "lll") if body else None
