"""The whole job as one pure function: the text of a shaft file in, plain data out. No file, no terminal.

Everything that a person or a program is told stands in an `Answer`; showing it computes nothing.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields, replace
from typing import Any

import numpy as np

from shaftcheck import engine
from shaftcheck.beam import Beam
from shaftcheck.border.assemble import Built, assemble
from shaftcheck.border.shaftfile import Entry, Reading, Value, changed, parse, read
from shaftcheck.border.sizes import System, pull, say, show
from shaftcheck.checks import JOINTS
from shaftcheck.checks import notes as joint_notes
from shaftcheck.checks.compare import NOT_CHECKED, Use
from shaftcheck.checks.joint import Note
from shaftcheck.errors import Fault, InputError
from shaftcheck.frozen import frozen
from shaftcheck.hinging import Mounted, mounted
from shaftcheck.key import DIMENSION_OF
from shaftcheck.loads import loaded
from shaftcheck.model import Flaw, Hinged, Joint, Shaft, number, stack
from shaftcheck.movement import give
from shaftcheck.said import Said
from shaftcheck.strength import Setting, Step, duration, fatigue, ladder, piece_setting
from shaftcheck.studies.thicken import thicken
from shaftcheck.whole import Gives, Whole, gives_way, pull_to_break, whole
from shaftcheck.words import CAUTIONS, FAILS, KINDS, NOT_ASKED, near

__all__ = ["Answer", "CaseLine", "Line", "Movement", "Oar", "Unknown", "answer", "answer_doc", "different", "lines_of"]

MOST = 2048
"""combinations of unknown inputs that are tried at most"""


@frozen
class Line:
    """One comparison at its worst. Sizes in SI."""

    check: str
    kind: str
    use: float
    """nan where not known"""
    known: bool
    case: str
    """key of the case; empty where it belongs to none in particular"""
    case_title: str
    x: float
    place: str
    demand: float
    capacity: float
    unit: str
    good_for: float
    """the case's own quantity at which this check is just met"""
    good_for_unit: str
    good_for_words: str
    source: str
    unknown: str
    """what is missing, where it is not known"""

    @property
    def margin(self) -> float:
        """Return 1/use - 1."""
        return 1.0 / self.use - 1.0 if self.use > 0.0 else math.inf

    @property
    def met(self) -> bool:
        """Return whether it is known and met."""
        return self.known and self.use <= 1.0


@frozen
class CaseLine:
    """One load case and what governs it."""

    case: str
    title: str
    check: str
    use: float
    known: bool
    x: float
    place: str
    load: float
    good_for: float
    unit: str
    words: str
    source: str
    bends: str
    """which face is stretched at the place that governs"""


@frozen
class Movement:
    """How far the blade's middle moves at the greatest single pull [m], and how much of it is shear [-]."""

    clamped: float
    held: float
    shear_share: float
    hand: float
    stiffness: float
    """at the blade's middle, hand held and resting on the lock [N/m]"""


@frozen
class Oar:
    """One oar, checked: as it stands, or as changed."""

    label: str
    state: str
    sentences: tuple[str, str]
    spoken: tuple[str, str]
    """the same, pulls in one system of units"""
    reading: Reading
    """its inputs as they were understood"""
    shaft: Shaft
    beam: Beam
    """the shaft under its load cases"""
    lines: tuple[Line, ...]
    """worst first; what is not known at the top of its kind"""
    cases: tuple[CaseLine, ...]
    pulls: Mapping[str, float]
    """what it is good for, by stroke [N]"""
    asked: Mapping[str, float]
    """what is asked of it, by stroke [N]"""
    to_break: tuple[float, float, float]
    """single pull at which about half would have broken, its 5 and 95 % marks [N]"""
    gives: Gives
    whole: Whole
    movement: Movement
    ladder: tuple[Step, ...]
    ladder_of: str
    damage: float
    """Miner's sum at the loads as they are, at its worst place"""
    steady_if_a_fifth_lower: float
    """use in steady rowing were the fatigue line a fifth lower"""
    advice: tuple[str, ...]
    notes: tuple[Note, ...]
    """what is told of the joints: marking out, cautions, what is better so"""
    mounted: Mounted | None
    """what a hinged rig does to its mounting"""
    assumptions: tuple[Said, ...]


@frozen
class Unknown:
    """What one unknown input does to the verdict, whatever the others are."""

    path: str
    help: str
    words: str
    settles: float
    """part of its values at which the verdict is settled whatever the other unknowns are [-]"""


@frozen
class Answer:
    """All that one shaft file is answered with."""

    name: str
    title: str
    note: str
    system: System
    reading: Reading
    oars: tuple[Oar, ...]
    """as it stands, and as changed where the file tells a change"""
    unknowns: tuple[Unknown, ...]
    unknown_words: str
    measured: tuple[tuple[str, str, str], ...]
    """what was measured: what it is, measured, computed"""
    cautions: tuple[tuple[str, str], ...]
    not_asked: tuple[str, ...]

    @property
    def state(self) -> str:
        """Return the state of the oar that is asked about: as changed, where there is a change."""
        return self.oars[-1].state


Tick = Callable[[int, int], None]


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
    after = changed(doc)
    if after is not None:
        docs.append(("as changed", after))
    oars: list[Oar] = []
    unknowns: tuple[Unknown, ...] = ()
    words = ""
    first: Reading | None = None
    for label, table in docs:
        try:
            reading = read(table, name)
            if system is not None:
                reading = replace(reading, system=system)
            built, state, unknowns, words = _settle(reading, tick)
        except InputError as e:
            raise e if label == "as it stands" else InputError(f"{name}, as changed", e.faults) from None
        oars.append(_oar(label if after is not None else "", reading, built, state, words))
        first = first or reading
    assert first is not None
    return Answer(
        name=name,
        title=first.title,
        note=first.note,
        system=first.system,
        reading=first,
        oars=tuple(oars),
        unknowns=unknowns,
        unknown_words=words,
        measured=_measured(first, oars[0]),
        cautions=CAUTIONS,
        not_asked=NOT_ASKED,
    )


# ------------------------------------------------------------------------------------------------- what is not known


def _settle(reading: Reading, tick: Tick | None) -> tuple[Built, str | None, tuple[Unknown, ...], str]:
    """Return the shaft to show, the verdict where unknown inputs change it, and what each of them does to it."""
    told = {e.path: e.value for e in reading.entries.values() if e.value is not None}
    open_ = [e for e in reading.entries.values() if e.how == "unknown" and not e.key.only_told]
    if not open_:
        return assemble(reading, told), None, (), ""
    open_ = _thinned(reading, open_)
    chosen = list(itertools.product(*(range(len(e.options)) for e in open_)))
    built = [assemble(reading, told | _picked(open_, c)) for c in chosen]
    state, worst = _evaluate(built, tick)
    unknowns = _each(open_, chosen, state, reading.system)
    tried = f"{len(chosen)} combinations of what is unknown were tried, the ends of each range among them"
    if (state == 1).all():
        verdict, words = None, f"Holds whatever it is: {tried}."
    elif (state == -1).all():
        verdict, words = None, f"Falls short whatever it is: {tried}."
    elif (state == 0).all():
        verdict, words = None, f"Not settled whatever it is: {tried}."
    else:
        verdict = "NOT SETTLED"
        best = max(unknowns, key=lambda u: u.settles)
        ifs = "; ".join(u.words for u in unknowns)
        words = f"{ifs[0].upper()}{ifs[1:]}. Measure next: {best.path}, {best.help} ({tried})."
    return built[int(np.argmax(worst))], verdict, unknowns, words


def _picked(open_: Sequence[Entry], index: Sequence[int]) -> dict[str, Value]:
    return {e.path: e.options[i] for e, i in zip(open_, index, strict=True)}


def _thinned(reading: Reading, open_: list[Entry]) -> list[Entry]:
    """Return the unknown inputs with so few values of each range, ends in, that every combination can be tried.

    Raises
    ------
    InputError
        if there are too many of them even so.
    """
    for count in (9, 5, 3, 2):
        thin = [
            e if isinstance(e.options[0], str) else replace(e, options=tuple(_spread(e.options, count))) for e in open_
        ]
        if math.prod(len(e.options) for e in thin) <= MOST:
            return thin
    fault = Fault(
        open_[-1].path, f"{len(open_)} inputs are unknown, too many to try all together", "measure one of them"
    )
    raise InputError(reading.name, [fault])


def _spread(options: Sequence[Value], count: int) -> list[Value]:
    last = len(options) - 1
    if last == 0:
        return list(options)
    return [options[round(i * last / (count - 1))] for i in range(count)]


def _evaluate(built: Sequence[Built], tick: Tick | None) -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    """Return 1 holds, -1 falls short, 0 not known for each shaft, and its worst known use."""
    groups: dict[tuple[str, ...], list[int]] = {}
    for i, b in enumerate(built):
        levering = "lever" if float(b.shaft.rower.lever) != 0.0 else ""
        parts: tuple[Joint | Flaw, ...] = (*b.shaft.joints, *b.shaft.flaws)
        texts = (str(getattr(j, f.name)) for j in parts for f in fields(j) if f.type in ("str", "bool"))
        groups.setdefault((type(b.shaft.rig).__name__, levering, *texts), []).append(i)  # a batch has one of each text
    state, worst = np.zeros(len(built)), np.zeros(len(built))
    done = 0
    for index in groups.values():
        for k in range(0, len(index), 128):
            block = index[k : k + 128]
            shafts = stack([built[i].shaft for i in block])
            rows = engine.run(loaded(shafts, number(np.array([built[i].own for i in block]))))
            use = np.stack([np.nan_to_num(r.use, nan=0.0) for r in rows]).max(axis=0)
            ok = engine.holds(rows)
            failed = np.stack([np.nan_to_num(r.use, nan=0.0) for r in rows]).max(axis=0)
            met = failed <= 1.0
            state[block] = np.where(ok, 1, np.where(met, 0, -1))
            worst[block] = use
            done += len(block)
            if tick is not None:
                tick(done, len(built))
    return state, worst


def _each(
    open_: Sequence[Entry], chosen: Sequence[tuple[int, ...]], state: np.ndarray[Any, Any], system: System
) -> tuple[Unknown, ...]:
    out = []
    index = np.array(chosen)
    for k, e in enumerate(open_):
        holds_at = [bool((state[index[:, k] == i] == 1).all()) for i in range(len(e.options))]
        fails_at = [bool((state[index[:, k] == i] == -1).all()) for i in range(len(e.options))]
        settled = [a or b for a, b in zip(holds_at, fails_at, strict=True)]
        good = [o for o, ok in zip(e.options, holds_at, strict=True) if ok]
        what = e.path.rpartition(".")[2].replace("_", " ")
        if not good:
            words = f"no {what} alone settles that it holds"
        elif len(good) == len(e.options):
            words = f"holds whatever the {what} is"
        else:
            words = f"holds if the {what} is {_range(e, good, system)}"
        out.append(Unknown(path=e.path, help=e.key.help, words=words, settles=sum(settled) / len(settled)))
    return tuple(out)


def _range(e: Entry, good: Sequence[Value], system: System) -> str:
    if isinstance(good[0], str):
        return " or ".join(str(g) for g in good)
    numbers = [float(g) for g in good]
    whole_range = [float(o) for o in e.options]
    low, high = min(numbers), max(numbers)
    if sum(low <= o <= high for o in whole_range) != len(numbers):
        return " or ".join(_size(e, g, system, "near") for g in numbers)
    if low > whole_range[0] and high < whole_range[-1]:
        return f"{_size(e, low, system, 'up')} to {_size(e, high, system, 'down')}"
    if low == whole_range[0]:
        return f"{_size(e, high, system, 'down')} or {'flatter' if e.key.kind == 'slope' else 'less'}"
    return f"{_size(e, low, system, 'up')} or {'steeper' if e.key.kind == 'slope' else 'more'}"


def _size(e: Entry, value: float, system: System, side: Any) -> str:
    dimension = DIMENSION_OF.get(e.key.kind)
    return f"{value:.3g}" if dimension is None else show(value, dimension, system, side=side)


# -------------------------------------------------------------------------------------------------------- one shaft


def _oar(label: str, reading: Reading, built: Built, verdict: str | None, unknown_words: str) -> Oar:
    system = reading.system
    shaft = built.shaft
    beam = loaded(shaft, number(built.own))
    x = engine.refined(beam)
    found = engine.uses(beam, x)
    rows = engine.worst(beam, found)
    lines = lines_of(beam, rows)
    cases = _cases(beam, found)
    life = max((float(r.use) for r in rows if r.kind == "wears out"), default=0.0)
    asked = {c.key: float(c.pull) for c in beam.cases if c.key in ("once", "start", "hard", "steady")}
    # a rule of place, or a crease: no pull is small enough
    barred = max((x.use for x in lines if math.isinf(x.use) and not x.case), default=0.0)
    pulls = {}
    for key, value in asked.items():
        line = next(c for c in cases if c.case == key)
        use = max(barred, line.use if key == "once" else max(line.use, life))
        pulls[key] = math.nan if not line.known else value / use if use > 0.0 else math.inf
    state = _state(lines) if verdict is None else verdict
    advice = _advice(built, lines, system) if state != "HOLDS" else ()
    settings = _governing_setting(beam, lines)
    sentences, spoken = (
        _sentences(state, lines, pulls, advice, built, unknown_words, system, hands) for hands in (None, system)
    )
    return Oar(
        label=label,
        state=state,
        sentences=sentences,
        spoken=spoken,
        reading=reading,
        shaft=shaft,
        beam=beam,
        lines=lines,
        cases=cases,
        pulls=pulls,
        asked=asked,
        to_break=tuple(float(v) for v in pull_to_break(beam)),  # type: ignore[arg-type]
        gives=gives_way(beam),
        whole=whole(shaft),
        movement=_movement(beam),
        ladder=ladder("bending", settings[0]),
        ladder_of=settings[1],
        damage=max((float(r.demand) for r in rows if r.kind == "wears out"), default=math.nan),
        steady_if_a_fifth_lower=_fifth_lower(beam, cases),
        advice=advice,
        notes=tuple(joint_notes(beam)),
        mounted=mounted(beam, system),
        assumptions=built.assumptions,
    )


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


def _cases(beam: Beam, found: Sequence[Use]) -> tuple[CaseLine, ...]:
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


def _fifth_lower(beam: Beam, cases: Sequence[CaseLine]) -> float:
    steady = next(c for c in cases if c.case == "steady")
    case = beam.cases[beam.case("steady")]
    one = piece_setting(
        beam.shaft.pieces[0],
        seconds=case.seconds,
        cycles=case.cycles,
        reversed_end=case.reversed_end,
        repeated=number(1.0),
        own=beam.own,
    )
    now = min(float(duration(one)), float(fatigue(one)))
    lower = min(float(duration(one)), 0.8 * float(fatigue(one)))
    return steady.use * now / lower


# ------------------------------------------------------------------------------------------------------------ words


def _advice(built: Built, lines: Sequence[Line], system: System) -> tuple[str, ...]:
    """Return what would make it hold in all that is checked; each line was tried and found to hold."""
    if not any(line.use > 1.0 for line in lines):
        return tuple(f"{line.check}: needs its own check first" for line in lines if not line.known)
    shaft = built.shaft
    own = number(built.own)
    out = []
    step = 0.001 if system == "metric" else 0.0254 / 16.0
    grown = thicken(shaft, own=own, step=step)
    if grown is not None:
        changes = [
            f"{show(float(b.depth), 'length', system)} by {show(float(b.width), 'length', system)} at "
            f"{show(float(b.x), 'length', system)}"
            for a, b in zip(shaft.stations, grown, strict=True)
            if float(a.depth) != float(b.depth)
        ]
        out.append(f"sections (fore and aft by up and down) of {', '.join(changes)}")
    straight = replace(shaft, pieces=tuple(replace(p, slope=np.minimum(p.slope, 1 / 20)) for p in shaft.pieces))
    if _passes(straight, own) and any(float(p.slope) > 1 / 20 for p in shaft.pieces):
        out.append("wood whose grain runs out no more than 1:20")
    out += [say(words, system) for words in _other_joints(shaft, own)]
    if not out:
        out.append(
            "no change of section within reach, nor straighter grain, makes it hold: a shorter oar, a lighter duty"
        )
    return tuple(out)


def _other_joints(shaft: Shaft, own: Any) -> list[Said]:
    """Return the least change of each joint that alone makes the shaft hold."""
    out = []
    for i, joint in enumerate(shaft.joints):
        for words, other in JOINTS[joint.kind].variants(shaft, joint):
            if _passes(replace(shaft, joints=(*shaft.joints[:i], other, *shaft.joints[i + 1 :])), own):
                out.append(words)
                break
    return out


def _passes(shaft: Shaft, own: Any) -> bool:
    rows = engine.run(loaded(shaft, own))
    return all(bool(r.use <= 1.0) for r in rows if r.kind != NOT_CHECKED)


def _sentences(
    state: str,
    lines: Sequence[Line],
    pulls: Mapping[str, float],
    advice: Sequence[str],
    built: Built,
    unknown_words: str,
    system: System,
    hands: System | None,
) -> tuple[str, str]:
    """Return the verdict in two sentences fit to be said aloud.

    Parameters
    ----------
    hands : in whose units pulls are said; None: in all hands use
    """
    worst = max((line for line in lines if not math.isnan(line.use)), key=lambda line: line.use, default=None)
    if worst is None:
        return "Not settled: nothing that matters is known of this shaft.", "Do not work, cut or glue on this answer."
    where = f"{worst.place}, {show(worst.x, 'length', system)} from the handle end"
    over = " over a life's strokes" if worst.kind == "wears out" else ""
    under = f" under {worst.case_title}" if worst.case_title else over
    beyond = math.isinf(worst.use)
    used = f"{'beyond any limit' if beyond else f'{math.ceil(worst.use * 100.0 - 1e-9)} % used'}{under}"
    fails = FAILS.get(worst.check, f"{KINDS.get(worst.kind, worst.kind)} ({worst.check})")
    laxer = f" with your own laxer divisor of {built.own:g}" if built.own < 1.0 else ""
    open_parts = [line.check for line in lines if not line.known]
    once, steady = (pull(pulls[key], system=hands) for key in ("once", "steady"))
    good = f"Work to {once} once and {steady} every stroke"
    if pulls["once"] == 0.0:
        good = "Good for no pull as it is"
    if state == "HOLDS":
        first = f"It holds{laxer}: its weakest place is {where}, {used}."
        return first, f"{good}; nothing needs changing."
    if state == "FALLS SHORT":
        asks = "" if beyond else f", which asks {worst.use:.2f} times what it may carry"
        first = f"It falls short{laxer}: {where}, it {fails}{under}{asks}."
        change = f"what would change it: {'; or '.join(advice)}." if advice else "nothing was found that changes it."
        return first, f"{good}; {change}"
    if open_parts:
        first = (
            f"Not settled{laxer}: {' and '.join(dict.fromkeys(open_parts))} must be checked and was not; of what was "
            f"checked, the weakest place is {where}, {used}."
        )
        return first, f"Up to there {good[0].lower()}{good[1:]}; do not cut or glue on this answer."
    first = f"Not settled{laxer}: it hangs on what is unknown. {unknown_words}".strip()
    return first, f"At the worst of it, {good[0].lower()}{good[1:]}."


def _measured(reading: Reading, oar: Oar) -> tuple[tuple[str, str, str], ...]:
    """Return what was measured beside what is computed."""
    out = []
    system = reading.system
    values = {e.path: e.value for e in reading.entries.values()}
    weight, balance, sag = (values.get(f"measured.{k}") for k in ("weight", "balance", "sag"))
    if weight is not None:
        out.append(("weight", show(float(weight), "mass", system), show(float(oar.whole.mass), "mass", system)))
    if balance is not None:
        computed = show(float(oar.whole.balance), "length", system)
        out.append(("balance point", show(float(balance), "length", system), computed))
    more = [values.get(f"measured.{k}") for k in ("sag_weight", "sag_at", "sag_held")]
    if sag is not None and None not in more and not isinstance(oar.shaft.rig, Hinged):
        mass, at, held = more
        g = give(oar.shaft, at=number(float(at)))  # type: ignore[arg-type]
        unit = g.clamped if held == "clamped" else g.held
        sagged = float(mass) * 9.80665 * float(unit)  # type: ignore[arg-type]
        out.append(("sag", show(float(sag), "length", system), show(sagged, "length", system)))
    return tuple(out)
