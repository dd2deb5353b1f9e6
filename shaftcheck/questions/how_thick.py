"""How thick, how long a scarf, how long an overlap?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from shaftcheck.border import write
from shaftcheck.border.assemble import Built, assemble
from shaftcheck.border.shaftfile import read
from shaftcheck.border.shown import System, say, show
from shaftcheck.checks import JOINTS
from shaftcheck.engine import run
from shaftcheck.errors import Fault, InputError
from shaftcheck.key import Key
from shaftcheck.loads import loaded
from shaftcheck.model import Shaft, map_arrays, number
from shaftcheck.questions._how_thick_words import JointFound, Sized, data, pictures, sentence, tables
from shaftcheck.questions._placed import joint_doc, plain
from shaftcheck.questions.question import Asked, Finding, Question, Winner, ready
from shaftcheck.studies import lengths, taper
from shaftcheck.studies.forms import Limits, Task, task
from shaftcheck.whole import whole

__all__ = ["QUESTION"]

_MARKS: dict[System, tuple[float, float, float]] = {
    "metric": (0.001, 0.200, 0.005),
    "inches": (0.0254 / 16.0, 8.0 * 0.0254, 0.0254 / 4.0),
}
"""mark of a size, from station to station, step of an overlap [m]"""


def _limits(asked: Asked) -> Limits:
    def size(name: str) -> float:
        value = asked.size(name)
        assert value is not None
        return value

    return Limits(
        most_depth=size("most_fore_and_aft"),
        most_width=size("most_up_and_down"),
        least_depth=size("least_fore_and_aft"),
        least_width=size("least_up_and_down"),
        neck_depth=size("neck_fore_and_aft"),
        neck_width=size("neck_up_and_down"),
        flattest=size("flattest"),
        steepest=size("steepest"),
        kink=size("bend"),
    )


def _task(asked: Asked, built: Built, system: System, target: float) -> Task:
    shaft = built.shaft
    if any(bool(np.isfinite(s.wall)) for s in shaft.stations):
        wrong = "hollow, and this question is about solid shafts"
        raise InputError(asked.docs[0][0], [Fault("section.wall", wrong, 'use "check" on walls of your choice')])
    mark, every, _ = _MARKS[system]
    return task(
        shaft, own=built.own, target=target, mark=mark, every=asked.size("every") or every, limits=_limits(asked)
    )


def _sections(doc: Mapping[str, Any], t: Task, marks: Any, system: System) -> dict[str, Any]:
    """Return the tables with the sections that were found; those of the grip and beyond the neck stay."""
    old = doc["section"]
    new = [
        {
            "at": write.size(float(x), system),
            "fore_and_aft": write.size(float(d) * t.mark, system),
            "up_and_down": write.size(float(w) * t.mark, system),
        }
        for x, (d, w) in zip(t.x, marks, strict=True)
    ]
    after = old[len(old) - len(t.after) :] if t.after else []
    return {**plain(doc), "section": [*old[: len(t.before)], *new, *after]}


def _shaft_of(doc: Mapping[str, Any], name: str) -> Shaft:
    reading = read(doc, name)
    values = {e.path: e.value for e in reading.entries.values() if e.value is not None}
    return assemble(reading, values).shaft


def _joints(shaft: Shaft, doc: Mapping[str, Any], where: str, own: float, target: float, system: System,
            titles: tuple[str, ...]) -> list[JointFound]:  # fmt: skip
    """Return the shortest that each joint may be on some sections."""
    out = []
    for i, joint in enumerate(shaft.joints):
        placing = JOINTS[joint.kind].placing
        if placing is None:
            continue
        middle = placing.middle(joint)
        tried, names = placing.scale(shaft, joint, _MARKS[system][2])
        found = lengths.search(shaft, i, tried, own=own)
        good = np.flatnonzero((found.worst <= target) & found.known)
        at = int(good[0]) if len(good) else None
        new_doc = None
        if at is not None:
            placed = map_arrays(np.atleast_1d, shaft)
            moved = placing.moved(placed, placed.joints[i], np.atleast_1d(middle), tried[at : at + 1])
            placed = replace(placed, joints=(*placed.joints[:i], moved.joint, *placed.joints[i + 1 :]))
            new_doc = joint_doc(doc, placed, i, float(tried[at]), system)
        out.append(
            JointFound(
                kind=joint.kind,
                index=i,
                where=where,
                tried=found,
                names=names,
                shortest=at,
                good=good,
                doc=new_doc,
                titles=titles,
            )
        )
    return out


def _ask(asked: Asked) -> Finding:
    reading, built, doc = ready(asked)
    name, system = asked.docs[0][0], asked.system or reading.system
    margin = asked.size("margin")
    assert margin is not None
    target = 1.0 / (1.0 + margin)
    shaft = built.shaft
    titles = tuple(c.title for c in loaded(shaft, number(built.own)).cases)
    only = asked.word("only")
    sized: Sized | None = None
    found: list[JointFound] = []
    winners: list[Winner] = []
    if only != "joints":
        t = _task(asked, built, system, target)
        result = taper.lightest(t, asked.tick)
        if result is None:
            raise InputError(name, [Fault("how-thick", "no sizes keep the floors and rules", "loosen one of them")])
        tables_found = _sections(doc, t, result.marks, system)
        mark = show(t.mark, "length", system)
        hurt: tuple[lengths.Mishap, ...] = ()
        if result.holds:
            new = _shaft_of(tables_found, f"{name}, lightest taper")
            one_less = map_arrays(lambda a: np.asarray(a).reshape(-1)[0:1].reshape(()),
                                  taper.shafts(t, result.marks[None] - 1)[0])  # fmt: skip
            hurt = lengths.mishaps(new, one_less, mark, own=built.own)
            uses = {check: float(row.use) for check, row in result.uses.items()}
            winners.append(Winner(label="lightest taper", doc=tables_found, uses=uses))
            found += _joints(new, tables_found, "on the lightest taper", built.own, target, system, titles)
        before = lengths.greatest(run(loaded(shaft, number(built.own)), rounds=2))
        sized = Sized(task=t, taper=result, mishaps=hurt, mass=float(whole(shaft).mass), before=before, file=shaft,
                      titles=titles)  # fmt: skip
    if only != "taper":
        found = _joints(shaft, doc, "on the file's sections", built.own, target, system, titles) + found
    for j in found:
        if j.doc is not None and j.shortest is not None:
            k = int(np.searchsorted(j.tried.checked, j.shortest))
            uses = {check: float(row.use[k]) for check, row in j.tried.uses.items()}
            winners.append(Winner(label=f"shortest {j.kind} {j.index + 1}, {j.where}", doc=j.doc, uses=uses))
    answered = (sized is None or (sized.taper.holds and sized.taper.known)) and (
        only != "joints" or (bool(found) and all(j.shortest is not None for j in found))
    )
    return Finding(
        question="how-thick",
        title=reading.title or name,
        sentence=sentence(sized, found, margin, system),
        answered=answered,
        system=system,
        tables=tables(sized, found, target, system),
        pictures=pictures(sized, found, target, system),
        data=data(sized, found, margin),
        searched=_searched(sized, found, system),
        assumptions=tuple(say(a, system) for a in built.assumptions),
        cautions=_cautions(asked, sized, system),
        winners=tuple(winners),
    )


def _searched(sized: Sized | None, found: list[JointFound], system: System) -> tuple[str, ...]:
    out = []
    if sized is not None:
        limits = sized.task.limits

        def pair(a: float, b: float) -> str:
            return f"{show(a, 'length', system)} by {show(b, 'length', system)}"

        out += [
            f"ovals in whole marks of {show(sized.task.mark, 'length', system)}, fore and aft by up and down, each "
            f"checked on these sizes; {sized.taper.tried} shafts tried under every load with every check; the grip "
            "stays as it is",
            "the way down: weight and uses as straight lines, step by step, then in whole marks, then by trying. Tried "
            "and so proven: no run of stations can be a mark less, nor one size a mark less with another a mark more "
            "for less weight. Not proven: that no wholly other taper is lighter",
            "your limits and floors (what you did not tell is our judgement): most "
            f"{pair(limits.most_depth, limits.most_width)}; least "
            f"{pair(limits.least_depth, limits.least_width)}, at the neck "
            f"{pair(limits.neck_depth, limits.neck_width)}; as deep as wide or deeper, by {limits.flattest:g} at most, "
            "which is also how much weaker the weak axis's section modulus may be; no thinner towards the lock; the "
            f"surface falls away no faster than {show(limits.steepest, 'slope', system)} and bends by no more than "
            f"{show(limits.kink, 'slope', system)} at a station",
        ]
    if found:
        out.append(
            "each joint alone, at its place, in every length of a scale: scarfs from 1:8, the steepest that the "
            f"published factors reach, to 1:24; overlaps from {show(0.04, 'length', system)} to "
            f"{show(0.4, 'length', system)}. A longer one is not always better, so all were tried"
        )
    return tuple(out)


def _cautions(asked: Asked, sized: Sized | None, system: System) -> tuple[str, ...]:
    out = ["The lightest shaft forgives least: look at what a mark less, worse grain and wet wood do to it."]
    least = asked.size("least_grip")
    assert least is not None
    if sized is not None:
        grip = min(min(float(s.depth), float(s.width)) for s in sized.task.before)
        if grip < least - 1e-9:
            out.append(
                f"The grip's least size, {show(grip, 'length', system)}, is under your floor of "
                f"{show(least, 'length', system)}; it was left as it is."
            )
    return tuple(out)


def _floor(words: str, size: str) -> Key:
    return Key(
        kind="length", help=words, example=size, assume=size, why=f"{words}: {size} (judgement)", low=0.01, high=0.3
    )


QUESTION = Question(
    asks="how thick, how long a scarf, how long an overlap?",
    ask=_ask,
    changed=True,
    examples=(
        "how-thick my-oar.toml",
        "how-thick my-oar.toml --margin '20 %' --write lighter.toml --plot taper.svg",
        "how-thick my-oar.toml --only joints",
    ),
    options={
        "margin": Key(kind="moisture", help="that must be left on every load", example="10 %", assume="10 %",
                      why="a margin of 10 % (judgement)", high=2.0),
        "only": Key(kind="choice", help="the taper, or the joints on the file's sections", example="joints",
                    optional=True, choices=("taper", "joints")),
        "every": Key(kind="length", help="from station to station", example="200 mm", optional=True, low=0.1,
                     high=2.0),
        "most_fore_and_aft": _floor("greatest size fore and aft", "60 mm"),
        "most_up_and_down": _floor("greatest size up and down", "60 mm"),
        "least_fore_and_aft": _floor("least size of the loom fore and aft", "38 mm"),
        "least_up_and_down": _floor("least size of the loom up and down", "34 mm"),
        "neck_fore_and_aft": _floor("least size of the neck fore and aft", "34 mm"),
        "neck_up_and_down": _floor("least size of the neck up and down", "30 mm"),
        "least_grip": _floor("least size of the grip", "32 mm"),
        "flattest": Key(kind="ratio", help="greatest depth over width, and strong over weak section modulus",
                        example="1.3", assume="1.3", why="depth over width at most 1.3 (judgement)", low=1.0, high=3.0),
        "steepest": Key(kind="slope", help="how fast the surface may fall away", example="1:20", assume="1:20",
                        why="the surface falls away no faster than 1:20 (judgement)", high=1 / 6),
        "bend": Key(kind="slope", help="how much that may change at a station", example="1:60", assume="1:60",
                    why="the surface bends by no more than 1:60 at a station (judgement)", high=1.0),
    },
)  # fmt: skip
"""the lightest taper, and the shortest joints"""
