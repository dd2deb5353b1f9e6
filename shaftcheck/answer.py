"""The whole job as one pure function: the text of a shaft file in, plain data out. No file, no terminal.

Everything that a person or a program is told stands in an `Answer`; showing it computes nothing.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from shaftcheck import engine
from shaftcheck.beam import Beam
from shaftcheck.border.shaftfile import Entry, Reading, changed, parse, read
from shaftcheck.border.shown import System
from shaftcheck.checks import notes as joint_notes
from shaftcheck.checks.compare import NOT_CHECKED, Use
from shaftcheck.checks.member import form
from shaftcheck.errors import Fault, InputError
from shaftcheck.hinging import mounted
from shaftcheck.loads import loaded
from shaftcheck.measured import NOTHING, Lower
from shaftcheck.model import Array, Hinged, number
from shaftcheck.movement import give
from shaftcheck.outcome import Advice, Answer, CaseLine, Line, Movement, Oar, Option
from shaftcheck.pulls import STROKES, pulls_to_work_to
from shaftcheck.settle import Settled, Tick, settle
from shaftcheck.stowing import stowed
from shaftcheck.strength import LASTING, Setting, Step, duration, fatigue, ladder, piece_setting
from shaftcheck.verdict import measured, sentences
from shaftcheck.whole import gives_way, pull_to_break, whole
from shaftcheck.words import CAUTIONS, HINGED_CAUTIONS, NOT_ASKED, near

__all__ = [
    "Answer",
    "CaseLine",
    "Line",
    "Oar",
    "answer",
    "answer_doc",
    "cases_of",
    "different",
    "lines_of",
]


def answer(text: str, name: str, *, system: System | None = None, tick: Tick | None = None) -> Answer:
    """Return the answer to the text of a shaft file.

    Parameters
    ----------
    text : the file's text (TOML)
    name : what to call it in messages
    system : metric or inches, instead of what the file asks for
    tick : called with how many of how many are done, where unknown inputs make many shafts

    Raises
    ------
    InputError
        with every fault of the file at once.
    """
    return answer_doc(parse(text, name), name, system=system, tick=tick)


def answer_doc(doc: Mapping[str, Any], name: str, *, system: System | None = None, tick: Tick | None = None) -> Answer:
    """Return the answer to the tables of a shaft file, sizes as texts or as pint quantities.

    Raises
    ------
    InputError
        with every fault at once.
    """
    docs = [("as it stands", doc)]
    faults: list[Fault] = []
    try:
        after = changed(doc)
    except InputError as e:
        after, faults = None, list(e.faults)
    if after is not None:
        docs.append(("as changed", after))
    settled: list[tuple[str, Reading, Settled]] = []
    for label, table in docs:
        try:
            reading = read(table, name)
            if system is not None:
                reading = replace(reading, system=system)
            before = settled[0][2].lowered if settled else NOTHING
            found = settle(reading, tick, before)
            settled.append((label, found.reading or reading, found))
        except InputError as e:
            other = "" if label == "as it stands" else label
            known = {str(f) for f in faults}
            faults += [replace(f, oar=other) for f in e.faults if str(f) not in known]
    if faults:
        raise InputError(name, faults)
    oars = [_oar(label if after is not None else "", reading, s) for label, reading, s in settled]
    _, first, _ = settled[0]
    _, second, last = settled[-1]
    hinged = [isinstance(o.shaft.rig, Hinged) for o in oars]
    cut = hinged == [False, True]
    if hinged[-1]:
        oars[-1] = _told_of_the_cut(oars, second, cut)
    return Answer(
        name=name,
        title=first.title,
        note=first.note,
        system=first.system,
        reading=first,
        oars=tuple(oars),
        unknowns=last.unknowns,
        unknown_words=last.words,
        measured=measured(first, oars[0]),
        options=_options(oars, second, last, settled[0][2].lowered) if cut else (),
        cautions=(*CAUTIONS, *(HINGED_CAUTIONS if any(hinged) else ())),
        not_asked=NOT_ASKED,
    )


def _told_of_the_cut(oars: Sequence[Oar], reading: Reading, cut: bool) -> Oar:
    """Return the hinged rig with what is told of its cut."""
    from shaftcheck.cutting import told_of_the_cut

    material = str(reading.entries["oar.material"].value or "tube of laminate or metal")
    told = told_of_the_cut(oars[-1].beam, oars[0].beam if cut else None, material)
    return replace(oars[-1], notes=(*oars[-1].notes, *told))


def _options(oars: Sequence[Oar], reading: Reading, cut: Settled, before: Lower) -> tuple[Option, ...]:
    """Return what may be done with an oar that is to be cut: that, leaving it whole, and one made for the rig."""
    from shaftcheck.options import made, options

    ordered = made(reading, cut, before)
    third = None if ordered is None else (_oar("purpose-made", reading, ordered[0]), ordered[1])
    return options(oars[0], oars[1], third)


def _oar(label: str, reading: Reading, settled: Settled) -> Oar:
    system, built = reading.system, settled.built
    shaft = built.shaft
    own = number(built.own)
    beam = loaded(shaft, own)
    x = engine.refined(beam)
    found = engine.uses(beam, x)
    rows = engine.worst(beam, found)
    lines = lines_of(beam, rows)
    cases = cases_of(beam, found)
    asked = {c.key: float(c.pull) for c in beam.cases if c.key in STROKES}
    pulls = pulls_to_work_to(beam, x, lines, cases)
    other = _of_no_known_strength(lines)
    state = settled.state or _state(lines)
    advice: tuple[Advice, ...] = ()
    if state != "HOLDS":
        from shaftcheck.advice import advice_for  # what it tries with is imported where something is to be mended

        advice = advice_for(built, lines, system, by_moves=_by_moves(reading))
    settings = _governing_setting(beam, lines)
    said, spoken = (sentences(state, lines, pulls, advice, settled, system, alone) for alone in (False, True))
    return Oar(
        label=label,
        state=state,
        sentences=said,
        spoken=spoken,
        reading=reading,
        shaft=shaft,
        beam=beam,
        lines=lines,
        cases=cases,
        pulls=pulls,
        asked=asked,
        to_break=tuple(math.nan if other else float(v) for v in pull_to_break(beam)),  # type: ignore[arg-type]
        gives=gives_way(beam),
        whole=whole(shaft),
        movement=_movement(beam),
        ladder=_ladder(beam, lines, settings[0]),
        ladder_of=settings[1],
        damage=max((float(r.demand) for r in rows if r.kind == "wears out" and not r.unit), default=math.nan),
        steady_if_a_fifth_lower=_fifth_lower(beam, x),
        advice=tuple(a.whole for a in advice),
        notes=tuple(joint_notes(beam)),
        stowed=stowed(shaft, built.locker, system),
        mounted=mounted(beam, system),
        assumptions=built.assumptions,
    )


def _of_no_known_strength(lines: Sequence[Line]) -> bool:
    """Return whether the shaft is of a material whose strength no table here has."""
    return any(line.check == "material" and not line.known for line in lines)


def _by_moves(reading: Reading) -> bool | None:
    """Return whether a link's ratio is told by what moves how far; None where that is unknown."""
    moves = [reading.entries[k] for k in ("rig.hand_moves", "rig.blade_moves") if k in reading.entries]
    return None if any(e.value is None for e in moves) else bool(moves)


def different(first: Reading, second: Reading) -> tuple[Entry, ...]:
    """Return the inputs of the second that the first has not, or has otherwise."""
    same = {(e.path, e.text, e.how) for e in first.entries.values()}
    return tuple(e for e in second.entries.values() if (e.path, e.text, e.how) not in same)


def lines_of(beam: Beam, rows: Sequence[engine.Row]) -> tuple[Line, ...]:
    """Return comparisons of a single shaft: known and unmet, not known, then met, each worst first."""
    return tuple(sorted((_line(beam, row) for row in rows), key=_order))


def _order(line: Line) -> tuple[int, float]:
    """Order lines: known and unmet, not known, then met, each worst first."""
    if line.use > 1.0:
        return 0, -line.use
    return (2, -line.use) if line.known else (1, 0.0)


def _line(beam: Beam, row: engine.Row) -> Line:
    index = int(row.case)
    case = beam.cases[index] if index >= 0 else None
    x, use = float(row.x), float(row.use)
    load = float(case.driver) if case is not None else math.nan
    return Line(
        check=row.check,
        kind=row.kind,
        use=use,
        known=bool(row.known),
        case=case.key if case else "",
        case_title=case.title if case else "",
        when=(case.when or f"under {case.title}")
        if case
        else "over a life's strokes"
        if row.kind == "wears out"
        else "",
        x=x,
        place=near(beam.shaft, x),
        demand=float(row.demand),
        capacity=float(row.capacity),
        unit=row.unit,
        good_for=load / use if use > 0.0 else math.inf if use == 0.0 else math.nan,
        good_for_unit=case.driver_unit if case else "",
        good_for_words=case.driver_words if case else "",
        source=row.source,
        unknown=row.unknown if not bool(row.known) else "",
    )


def cases_of(beam: Beam, found: Sequence[Use]) -> tuple[CaseLine, ...]:
    """Return what governs each load case of a single shaft."""
    per = engine.by_case(beam, found)
    worst = []
    for i in range(len(beam.cases)):
        rows = [(u.check, float(use[i]), float(x[i])) for u, use, x in per if len(use) == len(beam.cases)]
        rows = [r for r in rows if not math.isnan(r[1])]
        worst.append(max(rows, key=lambda r: r[1], default=("", math.nan, math.nan)))
    faces = _faces(beam, [x for _, _, x in worst])
    out = []
    for i, (case, (check, use, x)) in enumerate(zip(beam.cases, worst, strict=True)):
        part = [u for u, _, _ in per if u.cases is None or i in u.cases]
        unknown = any(np.isnan(u.use).any() for u in part if u.kind != NOT_CHECKED)
        load = float(case.driver)
        out.append(
            CaseLine(
                case=case.key,
                title=case.title,
                check=check,
                use=use,
                known=not unknown,
                x=x,
                place=near(beam.shaft, x) if check else "",
                load=load,
                good_for=math.nan if unknown or math.isnan(use) else load / use if use > 0.0 else math.inf,
                unit=case.driver_unit,
                words=case.driver_words,
                acts=case.driver_acts,
                source=case.source,
                bends=faces[i] if check else "",
            )
        )
    return tuple(out)


def _faces(beam: Beam, places: Sequence[float]) -> list[str]:
    """Return which face is stretched under each case, at a place of its own."""
    cut = beam.at(np.nan_to_num(np.array([places])))
    strokes, flats = (np.diagonal(m) for m in (cut.moment_stroke, cut.moment_flat + cut.still_flat))
    return [_face(float(stroke), float(flat)) for stroke, flat in zip(strokes, flats, strict=True)]


def _face(stroke: float, flat: float) -> str:
    """Return which face two moments stretch [N m]."""
    if max(abs(stroke), abs(flat)) < 1e-6:
        return "neither"
    if abs(stroke) >= abs(flat):
        return "aft" if stroke > 0.0 else "forward"
    return "lower" if flat > 0.0 else "upper"


def _state(lines: Sequence[Line]) -> str:
    if any(not math.isnan(line.use) and not line.use <= 1.0 for line in lines):
        return "FALLS SHORT"
    return "HOLDS" if all(line.met for line in lines) else "NOT SETTLED"


def _movement(beam: Beam) -> Movement:
    g = give(beam.shaft)
    once = beam.case("once")
    j = beam.places.index("blade")
    force = abs(float(beam.forward[once, j]))
    hand = abs(float(beam.forward[once, beam.places.index("hand")]))
    return Movement(
        clamped=float(g.clamped) * force,
        held=float(g.held) * force,
        shear_share=float(g.clamped_shear / g.clamped),
        hand=float(g.hand) * hand,
        stiffness=1.0 / float(g.held),
        stiffness_dry=1.0 / float(give(beam.shaft, in_use=False).held),
    )


def _governing_setting(beam: Beam, lines: Sequence[Line]) -> tuple[Setting, str]:
    """Return the setting of the wood and case that govern bending, and their words."""
    line = next(line for line in lines if line.check == "bending")
    x = line.x if not math.isnan(line.x) else 0.0
    piece = [p for p in beam.shaft.pieces if float(p.start) <= x + 1e-12][-1]
    case = beam.cases[beam.case(line.case)] if line.case else beam.cases[0]
    setting = piece_setting(
        piece,
        seconds=case.seconds,
        cycles=case.cycles,
        reversed_end=case.reversed_end,
        repeated=number(case.repeated),
        own=beam.own,
    )
    return setting, f"{piece.wood.name}, bending, {case.title}"


def _ladder(beam: Beam, lines: Sequence[Line], setting: Setting) -> tuple[Step, ...]:
    """Return the rungs of the bending limit, and what the section takes off where it is used most."""
    steps = ladder("bending", setting)
    x = next(line.x for line in lines if line.check == "bending")
    factor = form(beam, beam.at(np.array([[0.0 if math.isnan(x) else x]])))[..., 0, 0]
    if float(factor) == 1.0:
        return steps
    source = "the size effect, the form of a hollow section, fibres that a steep taper cuts: where it is used most"
    return (*steps, Step("the section there", factor, steps[-1].after * factor, source))


def _fifth_lower(beam: Beam, x: Array) -> float:
    """Return the worst use of steady rowing were the fatigue line a fifth lower, in all that the line is asked of."""
    k = beam.case("steady")
    case = beam.cases[k]
    one = piece_setting(
        beam.shaft.pieces[0],
        seconds=case.seconds,
        cycles=case.cycles,
        reversed_end=case.reversed_end,
        repeated=number(1.0),
        own=beam.own,
    )
    now, lower = (min(float(duration(one)), v * float(fatigue(one))) for v in (1.0, 0.8))
    times = np.ones((len(beam.cases), 1))
    times[k] = lower / now
    limits = {name: v * times if name in LASTING else v for name, v in beam.limits.items()}
    weaker = replace(beam, limits=limits)
    return cases_of(weaker, engine.uses(weaker, x))[k].use
