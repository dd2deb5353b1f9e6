"""Where may the shaft be cut or jointed?"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from shaftcheck.answer import answer_doc
from shaftcheck.border.assemble import Built, assemble
from shaftcheck.border.shaftfile import Reading, read
from shaftcheck.border.shown import System, say
from shaftcheck.checks import JOINTS
from shaftcheck.errors import Fault, InputError
from shaftcheck.frozen import frozen
from shaftcheck.key import Key
from shaftcheck.loads import loaded
from shaftcheck.model import Array, Bools, Hinged, Shaft, Station, map_arrays, number
from shaftcheck.questions._placed import cut_doc, joint_doc
from shaftcheck.questions._where_words import Found, Lack, best_of, data, pictures, sentence, tables
from shaftcheck.questions.question import Asked, Finding, Question, Winner, ready
from shaftcheck.stow import Bar, Locker, bars, lies
from shaftcheck.stowing import STOWING_SOURCE, stowed
from shaftcheck.studies import placing
from shaftcheck.studies.placing import HOLDS, Placed, Places

__all__ = ["QUESTION"]

_STEPS: dict[System, tuple[float, float]] = {"metric": (0.010, 0.001), "inches": (0.0127, 0.0254 / 16.0)}
"""coarse and fine scale of places [m]"""
_LONGER, _NOT_IN = "a piece is longer than the locker", "a piece does not go into the file's locker"
"""why a place is no place where the pieces do not stow there"""
_LENGTHS = 5
"""lengths of overlap, cradles or scarf that are tried where a range is told, ends in"""


@frozen
class _Thing:
    """What is placed."""

    what: str
    """in words: a cut, or a joint by its kind"""
    place: placing.Place
    now: float
    """where it is in the file [m]"""
    mine: Callable[[str], bool]
    apart: bool
    doc: Callable[[float, float], dict[str, Any]]
    """tables of the shaft file with it at a place, of a length (nan as it is)"""
    pieces: tuple[str, str]
    length_of: str


def _one(place: placing.Place, at: float, length: float) -> Shaft:
    """Return the shaft of one place, arrays of shape (1,)."""
    return place(np.array([at]), np.array([length])).shaft


def _thing(asked: Asked, reading: Reading, built: Built, doc: Mapping[str, Any], system: System) -> _Thing:
    shaft, name = built.shaft, asked.docs[0][0]
    told = asked.size("joint")
    movable = [i for i, j in enumerate(shaft.joints) if JOINTS[j.kind].placing is not None]
    rig = shaft.rig
    if told is None and isinstance(rig, Hinged):
        if "link_ratio" not in doc["rig"]:  # it will be written, so that the file holds where this does
            shaft = replace(shaft, rig=replace(rig, ratio=placing.written_ratio(rig.ratio)))
        place = placing.cut(shaft, _bare(doc, name))
        return _Thing(
            what="cut",
            place=place,
            now=float(rig.saw),
            mine=lambda check: True,
            apart=True,
            doc=lambda at, length: cut_doc(doc, _one(place, at, length), length, system),
            pieces=("inner half", "outer half"),
            length_of="cradles",
        )
    which = ", ".join(f"--joint {i + 1} ({shaft.joints[i].kind})" for i in movable)
    if not movable and told is None:
        wrong, write = "no joint that can be placed, and no hinged rig to cut for", "give a [[joint]], or [change.rig]"
        raise InputError(name, [Fault("joint", wrong, write)])
    if told is None and len(movable) != 1:
        raise InputError(name, [Fault("--joint", f"{len(movable)} joints can be placed", f"tell which: {which}")])
    index = movable[0] if told is None else int(told) - 1
    if index not in movable or (told is not None and told != index + 1):
        which = which or ("leave it out: the cut is placed" if isinstance(rig, Hinged) else "give a [[joint]]")
        raise InputError(name, [Fault("--joint", "not a joint that can be placed", which)])
    joint = shaft.joints[index]
    kind = JOINTS[joint.kind]
    assert kind.placing is not None
    middle = kind.placing.middle(joint)
    place = placing.jointed(shaft, index)
    apart = kind.placing.moved(shaft, joint, middle, number(math.nan)).apart
    return _Thing(
        what=joint.kind,
        place=place,
        now=float(middle),
        mine=lambda check: check in kind.declares,
        apart=apart,
        doc=lambda at, length: joint_doc(doc, _one(place, at, length), index, length, system),
        pieces=("inner piece", "outer piece"),
        length_of="overlap" if apart else "scarf",
    )


def _bare(doc: Mapping[str, Any], name: str) -> tuple[Station, ...] | None:
    """Return the sections without plugs, where the halves of a hollow shaft have some."""
    plugs = ("inner_plug", "outer_plug", "plug_ends")
    if not any(key in doc["rig"] for key in plugs):
        return None
    reading = read({**doc, "rig": {k: v for k, v in doc["rig"].items() if k not in plugs}}, name)
    values = {e.path: e.value for e in reading.entries.values() if e.value is not None}
    return assemble(reading, values).shaft.stations


# ------------------------------------------------------------------------------------------------------- the search


def _marks(low: float, high: float, step: float) -> Array:
    """Return the whole multiples of a step from low to high [m]."""
    first, last = math.ceil(low / step - 1e-6), math.floor(high / step + 1e-6)
    return np.asarray(np.arange(first, last + 1) * step)


def _searched(asked: Asked, thing: _Thing, built: Built, system: System) -> tuple[Places, Array]:
    """Return what there is at every place, and the lengths that were tried."""
    shaft, (coarse, fine) = built.shaft, _STEPS[system]
    coarse = asked.size("step") or coarse
    low, high = asked.size("from") or 0.0, asked.size("to") or float(shaft.length)
    ends = asked.size("shortest"), asked.size("longest")
    if (ends[0] is None) != (ends[1] is None):
        raise InputError("where", [Fault("--shortest", "--shortest and --longest go together", "tell both, or none")])
    lengths = np.array([math.nan])
    if ends[0] is not None and ends[1] is not None:
        if not ends[0] < ends[1]:
            raise InputError("where", [Fault("--longest", "not more than --shortest", "write the longer one there")])
        lengths = np.unique(np.round(np.linspace(ends[0], ends[1], _LENGTHS) / fine) * fine)
    if not low < high:
        raise InputError("where", [Fault("--to", "not beyond --from", "write places from the handle end")])
    at = []
    for length in lengths:
        middle = round(placing.halves(thing.place, number(length), thing.now) / fine) * fine
        own = [v for v in (thing.now, middle) if low <= v <= high]
        at.append(_distinct(np.concatenate([_marks(low, high, coarse), own])))
    if not np.isnan(lengths).any():
        at.append(np.array([thing.now]))  # as it is in the file
    sizes = np.concatenate([lengths, [math.nan]])[: len(at)]
    plan = np.concatenate(at), np.repeat(sizes, [len(a) for a in at])

    def also(p: Placed) -> tuple[tuple[str, Any], ...]:
        return _stowing(asked, thing, p, built, system)

    def look(places: Array, each: Array) -> Places:
        return placing.search(thing.place, places, each, own=built.own, mine=thing.mine, also=also, tick=asked.tick)

    found = look(*plan)
    more = placing.between(found, lambda a, b: _inside(a, b, fine))
    return (placing.joined(found, look(*more)) if len(more[0]) else found), lengths


def _distinct(places: Array) -> Array:
    places = np.unique(places)
    return np.asarray(places[np.concatenate([[True], np.diff(places) > 1e-7])])


def _inside(a: float, b: float, fine: float) -> Array:
    marks = _marks(a, b, fine)
    return np.asarray(marks[(marks > a + 1e-7) & (marks < b - 1e-7)])


def _stowing(asked: Asked, thing: _Thing, p: Placed, built: Built, system: System) -> tuple[tuple[str, Bools], ...]:
    """Return where the pieces do not go into the locker: of the length that is asked for, or that of the file."""
    out: list[tuple[str, Bools]] = []
    room = asked.size("locker")
    if not thing.apart:
        return ()
    if room is not None:
        out.append((_LONGER, ~(np.maximum(p.inner, p.outer) <= room)))
    if built.locker is not None:
        free = ~np.logical_or.reduce([where for _, where in p.barred])
        misfit = np.zeros(free.shape, dtype=bool)
        if stowed(built.shaft, built.locker, system).pieces[0].lying is not None:  # else a size of it is not known
            longest: dict[tuple[float, float], float] = {}
            for i in np.flatnonzero(free):
                one = map_arrays(lambda a, i=i: a if np.ndim(a) == 0 else a[i], p.shaft)
                misfit[i] = not _goes_in(bars(one), built.locker, longest)
        out.append((_NOT_IN, misfit))
    return tuple(out)


def _goes_in(pieces: Sequence[Bar], locker: Locker, longest: dict[tuple[float, float], float]) -> bool:
    """Return whether each piece goes into the locker alone; `longest` remembers what does, by width and thickness."""
    inside: list[Bar] = []
    for bar in sorted(pieces, key=lambda b: -b.length):
        if any(bar.wide <= b.wide and bar.thick <= b.thick for b in inside):
            continue  # a longer, wider and thicker one does
        if not bar.length <= _longest(bar, locker, longest):
            return False
        inside.append(bar)
    return True


def _longest(bar: Bar, locker: Locker, longest: dict[tuple[float, float], float]) -> float:
    key = bar.wide, bar.thick
    if key not in longest:
        longest[key] = lies(Bar(name="", length=1e6, wide=bar.wide, thick=bar.thick), locker).longest
    return longest[key]


def _lack(p: Places, thing: _Thing, locker: Locker | None, room: float | None) -> Lack | None:
    """Return where the pieces come nearest to stowing, of the places that nothing else bars; none where there is none.

    Parameters
    ----------
    locker : of the file
    room : the longest piece that may be [m]
    """
    best: Lack | None = None
    longest: dict[tuple[float, float], float] = {}
    for i in np.flatnonzero([k >= 0 and p.reasons[k] in (_LONGER, _NOT_IN) for k in p.why]):
        ends = zip(thing.pieces, (float(p.inner[i]), float(p.outer[i])), strict=True)
        over = [(length - room, f"the {name}") for name, length in ends] if room is not None else []
        if locker is not None:
            shaft = _one(thing.place, float(p.at[i]), float(p.length[i]))
            each = bars(map_arrays(lambda a: a if np.ndim(a) == 0 else a[0], shaft))
            over += [
                (math.inf if (most := _longest(b, locker, longest)) <= 0.0 else b.length - most, f"the {b.name}")
                for b in each
            ]
        by, name = max(over, default=(math.nan, ""))
        if best is None or by < best.too_long:
            best = Lack(index=int(i), piece=name, too_long=by)
    return best


# ----------------------------------------------------------------------------------------------------------- the job


def _ask(asked: Asked) -> Finding:
    reading, built, doc = ready(asked)
    name, system = asked.docs[0][0], asked.system or reading.system
    thing = _thing(asked, reading, built, doc, system)
    p, lengths = _searched(asked, thing, built, system)
    found = Found(
        p=p,
        what=thing.what,
        place=thing.place,
        pieces=thing.pieces,
        length_of=thing.length_of,
        apart=thing.apart,
        system=system,
        titles=tuple(c.title for c in loaded(built.shaft, number(built.own)).cases),
        spots={},
        answers={},
        room=asked.size("locker"),
    )
    if found.least is None:
        found = replace(found, lack=_lack(p, thing, built.locker, asked.size("locker")))
    spots = _spots(found, thing, _STEPS[system][1])
    docs = {spot: thing.doc(float(p.at[i]), float(p.length[i])) for spot, i in spots.items() if p.why[i] < 0}
    answers = {spot: answer_doc(d, f"{name}, {spot}", system=system) for spot, d in docs.items()}
    found = replace(found, spots=spots, answers=answers)
    return Finding(
        question="where",
        title=reading.title or name,
        sentence=sentence(found),
        answered="best" in spots,
        system=system,
        tables=tables(found),
        pictures=pictures(found),
        data=data(found),
        searched=(
            *_told(found, asked.size("step") or _STEPS[system][0], _STEPS[system][1], len(lengths)),
            *([f"the file's locker: {STOWING_SOURCE}"] if built.locker is not None and thing.apart else []),
        ),
        assumptions=tuple(say(a, system) for a in built.assumptions),
        cautions=_cautions(found),
        winners=tuple(
            Winner(label=spot, doc=docs[spot], uses={check: float(row.use[i]) for check, row in p.uses.items()})
            for spot, i in spots.items()
            if p.state[i] == HOLDS and spot != "as in the file"
        ),
    )


def _spots(found: Found, thing: _Thing, fine: float) -> dict[str, int]:
    """Return the places that are spoken of: the best, equal pieces, and as in the file."""
    p = found.p
    best = best_of(p, p.state == HOLDS)
    first = found.least if best is None else best
    if first is None:
        return {}
    spots = {"best": best} if best is not None else {found.least_as: first}
    length = float(p.length[first])
    even = round(placing.halves(thing.place, number(length), thing.now) / fine) * fine
    as_it_is = np.isnan(p.length)
    alike = as_it_is if math.isnan(length) else p.length == length
    for name, at, those in (("equal pieces", even, alike), ("as in the file", thing.now, as_it_is)):
        near = np.flatnonzero(those & (np.abs(p.at - at) < 1e-6))
        if len(near):
            spots[name] = int(near[0])
    return spots


def _told(f: Found, coarse: float, fine: float, lengths: int) -> tuple[str, ...]:
    count = int((f.p.check >= 0).sum())
    out = [
        f"{count} places were checked as whole shafts, under every load, with every check: each {f.long(coarse)}, and "
        f"each {f.long(fine)} where a window ends; between two places next to each other nothing was tried"
        + (f"; {lengths} lengths of the {f.length_of}" if lengths > 1 else ""),
        "best is the place whose greatest use is least; where that differs by half a percent or less, where the joint "
        "itself is least used",
        f"no joint or cradle within {f.long(placing.GRIP)} beyond the middle of the grip (judgement)",
    ]
    if f.what == "cut":
        out.append(
            "each place is a rig of its own: its levers, both moments and both cradle sections; the link's ratio stays "
            "as it is, a link keeps it wherever it is bolted, so that hand and blade no longer move as far as they "
            "did; pins keep their place in their cradles, the sections stay on the stick; the moment of the uncut oar "
            "is used nowhere"
        )
        out.append("how far inboard the hands can be and where pins can stand the boat says: --from and --to")
    else:
        out.append(f"what the {f.what} is made of stays; woods that meet in it go on meeting in it")
    return tuple(out)


def _cautions(f: Found) -> tuple[str, ...]:
    if f.what == "cut":
        return ("A cut can't be taken back: try the new levers with a stick tied to the pins before you saw.",)
    best = f.answers.get("best")
    if best is None:
        return ()
    return tuple(
        f"at the best place: {say(n.text, f.system)} ({n.origin})."
        for n in best.oars[0].notes
        if n.grade in ("better so", "caution")
    )


def _length(words: str, example: str, *, low: float = 0.0) -> Key:
    return Key(kind="length", help=words, example=example, optional=True, low=low, high=8.0)


QUESTION = Question(
    asks="where may the shaft be cut or jointed?",
    ask=_ask,
    changed=True,
    examples=(
        "where takedown.toml",
        "where takedown.toml --locker '1.40 m' --plot places.svg",
        "where rig.toml --shortest '140 mm' --longest '240 mm'",
        "where my-oar.toml --joint 2 --write best.toml",
    ),
    options={
        "joint": Key(
            kind="count", help="which joint, in the order of the file; not needed where there is one, nor for a cut",
            example="1", optional=True, low=1.0, high=20.0,
        ),
        "from": _length("first place tried, from the handle end", "900 mm"),
        "to": _length("last place tried", "1.80 m"),
        "step": _length("from place to place", "10 mm", low=0.001),
        "shortest": _length("of the overlaps, scarfs (finished) or cradles that are tried", "120 mm", low=0.01),
        "longest": _length("of the overlaps, scarfs or cradles that are tried", "220 mm", low=0.01),
        "locker": _length("longest piece that stows; a [locker] of the file counts besides", "1.40 m", low=0.1),
    },
)  # fmt: skip
"""where a scarf, a takedown or the cut for a hinged rig may be"""
