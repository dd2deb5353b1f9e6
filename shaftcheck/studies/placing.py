"""Where a shaft may be cut or jointed: the same joint, or the same hinged rig, at every place, as one batch.

A place is told by one number: where a scarf's cut crosses the axis, where the halves of a takedown meet, where the
inner half of a hinged rig ends. Each place is a whole shaft of its own and is checked as one: its woods meet where the
joint is, its levers, ratio, pins and cradles are those of the new rig.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from shaftcheck.beam import Beam
from shaftcheck.checks import JOINTS
from shaftcheck.checks.placed import follow
from shaftcheck.checks.plug import plugged
from shaftcheck.engine import Row, walk
from shaftcheck.frozen import frozen
from shaftcheck.loads import loaded
from shaftcheck.model import Array, Bools, Hinged, Shaft, Station, number

__all__ = [
    "GRIP",
    "HOLDS",
    "OPEN",
    "SHORT",
    "Place",
    "Placed",
    "Places",
    "Run",
    "between",
    "cut",
    "halves",
    "joined",
    "jointed",
    "runs",
    "search",
    "written_ratio",
]

Ints = npt.NDArray[np.int_]
GRIP = 0.1
"""no joint and no cradle under the hands: from the handle's end to this far beyond the middle of the grip (judgement)
[m]"""
HOLDS, OPEN, SHORT = 1, 0, -1
"""all known and met; nothing known is unmet, but something is not known; something known is not met, or it can't be"""


@frozen
class Placed:
    """Shafts with the joint or cut at some places; arrays (places,)."""

    shaft: Shaft
    barred: tuple[tuple[str, Bools], ...]
    """why it can't be there whatever the strength, and where"""
    inner: Array
    """length of the inner piece: taken apart, or as cut for a glued joint [m]"""
    outer: Array


Place = Callable[[Array, Array], Placed]
"""of places [m] and lengths [m], nan for the length as it is"""


@frozen
class Places:
    """What there is at every place that was tried; arrays (places,), sorted by length, then place."""

    at: Array
    """[m]"""
    length: Array
    """of overlap, scarf or cradles [m]; nan for as it is"""
    inner: Array
    outer: Array
    state: Ints
    """HOLDS, OPEN or SHORT"""
    why: Ints
    """which of `reasons` bars the place; -1 where none does"""
    reasons: tuple[str, ...]
    uses: dict[str, Row]
    """of each check; use is nan, and not known, where no shaft can be built so"""
    worst: Array
    """greatest known use"""
    check: Ints
    """which check has it, in the order of `uses`; -1 where no shaft can be built so"""
    own: Array
    """greatest known use of the joint's own checks, or of all where a rig is cut"""


def jointed(shaft: Shaft, index: int) -> Place:
    """Return how to place one of a shaft's joints.

    Where two woods meet inside the joint, they go on meeting at the same distance from its middle.

    Raises
    ------
    ValueError
        if that kind of joint can't be placed.
    """
    joint = shaft.joints[index]
    kind = JOINTS[joint.kind].placing
    if kind is None:
        raise ValueError(f"a {joint.kind} can't be placed")
    middle = kind.middle(joint)

    def place(at: Array, length: Array) -> Placed:
        new = kind.moved(shaft, joint, at, length)
        pieces, crossed = follow(shaft, at - middle, joint.start, joint.end)
        joints = (*shaft.joints[:index], new.joint, *shaft.joints[index + 1 :])
        in_grip = new.joint.start < shaft.rig.hand + GRIP
        return Placed(
            shaft=replace(shaft, pieces=pieces, joints=joints),
            barred=(*new.barred, *crossed, ("under the hands", in_grip)),
            inner=new.inner,
            outer=new.outer,
        )

    return place


def cut(shaft: Shaft, bare: tuple[Station, ...] | None = None) -> Place:
    """Return how to cut a shaft for its hinged rig elsewhere: every place is a new rig with the same link.

    A link keeps its ratio of angles wherever it is bolted. Each pin keeps its place in its cradle, in parts of the
    cradle's length, and the pins' spacing changes by what that moves them apart. Bolts keep their distance from the
    sawn ends. The sections stay where they are on the stick.

    Parameters
    ----------
    bare : sections of a hollow shaft without the plugs of its halves, which go with the cut

    Raises
    ------
    ValueError
        if there are plugs, and no bare sections.
    """
    rig = shaft.rig
    assert isinstance(rig, Hinged)
    if bare is None and not (np.isnan(rig.inner_plug) & np.isnan(rig.outer_plug)).all():
        raise ValueError("plugs go with the cut: the sections without them are needed")
    sections = shaft.stations if bare is None else bare
    old = {"inner": rig.inner_to - rig.inner_from, "outer": rig.outer_to - rig.outer_from}
    back, on = (rig.inner_to - rig.inner_pin) / old["inner"], (rig.outer_pin - rig.outer_from) / old["outer"]

    def place(at: Array, length: Array) -> Placed:
        inner, outer = (np.where(np.isnan(length), v + 0.0 * at, length) for v in old.values())
        restart = at + (rig.restart - rig.saw)
        pins = at - back * inner, restart + on * outer
        hand, water = pins[0] - rig.hand, shaft.blade.centroid - pins[1]
        bolts = at - (rig.inner_to - rig.inner_bolt), restart + (rig.outer_bolt - rig.outer_from)
        new = replace(
            rig,
            saw=at + (rig.saw - rig.inner_to),
            restart=restart,
            inner_pin=pins[0],
            inner_from=at - inner,
            inner_to=at,
            outer_pin=pins[1],
            outer_from=restart,
            outer_to=restart + outer,
            spacing=rig.spacing + (back * (inner - old["inner"]) + on * (outer - old["outer"])),
            inner_bolt=bolts[0],
            outer_bolt=bolts[1],
            inner_plug=at - (rig.inner_to - rig.inner_plug),
            outer_plug=restart + (rig.outer_plug - rig.outer_from),
        )
        pieces, crossed = follow(shaft, at - rig.inner_to, rig.saw, rig.restart)
        half = np.nan_to_num(rig.bolt, nan=0.0) / 2.0
        off = (bolts[0] - half <= new.inner_from) | (bolts[1] + half >= new.outer_to)
        barred = (
            ("the inner cradle would lie under the hands", ~(new.inner_from > rig.hand + GRIP)),
            ("the outer cradle would reach into the blade", ~(new.outer_to < shaft.blade.neck)),
            ("a pin would lie beyond its half's end", ~(pins[0] <= restart + 1e-9) | ~(pins[1] >= at - 1e-9)),
            ("no lever is left", ~(hand > 0.0) | ~(water > 0.0)),
            ("the pins would be closer than 20 mm", ~(new.spacing >= 0.02 - 1e-9)),
            ("a bolt would stand outside its cradle", off),
            *crossed,
        )
        return Placed(
            shaft=replace(shaft, rig=new, pieces=pieces, stations=plugged(sections, new)),
            barred=barred,
            inner=at + 0.0,
            outer=shaft.length - restart,
        )

    return place


def written_ratio(ratio: Array) -> Array:
    """Return a link's ratio as advice and files write it, to six digits [-]; what is found is found for that one."""
    return number(float(f"{float(ratio.ravel()[0]):.6g}"))


def halves(place: Place, length: Array, near: float) -> float:
    """Return where both pieces would be of one length, whether or not it may be there [m].

    Parameters
    ----------
    length : () - nan for as it is [m]
    near : a place to start from [m]
    """
    at = near
    for _ in range(20):
        p = place(np.array([at]), np.array([float(length)]))
        at += float(p.outer[0] - p.inner[0]) / 2.0
    return at


def search(
    place: Place,
    at: Array,
    length: Array,
    *,
    own: float,
    mine: Callable[[str], bool],
    also: Callable[[Placed], tuple[tuple[str, Bools], ...]] = lambda p: (),
    tick: Callable[[int, int], None] | None = None,
) -> Places:
    """Return what there is at every place: all checks of all loads, as closely as in an answer.

    Parameters
    ----------
    at, length : (places,) - as `Place` takes them, in any order
    own : what the user divides each strength by [-]
    mine : whether a check, by name, is the joint's own
    also : what else bars a place, as stowing does; its strength is looked at all the same
    """
    order = np.lexsort((at, length))
    at, length = at[order], length[order]
    placed = place(at, length)
    barred = (*placed.barred, *also(placed))
    why = np.full(at.shape, -1)
    for k, (_, where) in reversed(list(enumerate(barred))):
        why = np.where(where, k, why)
    built = ~np.logical_or.reduce([where + np.zeros(at.shape, dtype=bool) for _, where in placed.barred])
    todo = np.flatnonzero(built)

    def build(i: Array) -> Beam:
        here = todo[i]
        return loaded(place(at[here], length[here]).shaft, np.full(len(i), own))

    rows = walk((len(todo),), build, rounds=2, tick=tick) if len(todo) else {}
    uses = {name: _spread(row, todo, len(at)) for name, row in rows.items()}
    known = np.array([r.known for r in uses.values()]).reshape(len(uses), len(at))
    use = np.array([r.use for r in uses.values()]).reshape(len(uses), len(at))
    clear = np.where(np.isnan(use), -1.0, use)
    worst = np.where(built, clear.max(axis=0, initial=-1.0), np.nan)
    met = (use <= 1.0) | np.isnan(use)
    state = np.where((why >= 0) | ~met.all(axis=0), SHORT, np.where(known.all(axis=0), HOLDS, OPEN))
    its = [i for i, name in enumerate(uses) if mine(name)]
    return Places(
        at=at,
        length=length,
        inner=placed.inner,
        outer=placed.outer,
        state=state,
        why=why,
        reasons=tuple(text for text, _ in barred),
        uses=uses,
        worst=worst,
        check=np.where(built, clear.argmax(axis=0) if uses else -1, -1),
        own=np.where(built, clear[its].max(axis=0, initial=-1.0), np.nan),
    )


def _spread(row: Row, index: Ints, n: int) -> Row:
    """Return a row of the places that were checked, set among all places."""
    values = {f.name: getattr(row, f.name) for f in fields(row)}
    for name in ("use", "case", "x", "demand", "capacity"):
        full = np.full(n, np.nan)
        full[index] = values[name]
        values[name] = full
    known = np.zeros(n, dtype=bool)
    known[index] = row.known
    return Row(**(values | {"known": known}))


def between(p: Places, marks: Callable[[float, float], Array]) -> tuple[Array, Array]:
    """Return the places and lengths still to be tried where the state changes from one place to the next.

    Parameters
    ----------
    marks : of two places, the marks of a finer scale between them [m]
    """
    places, lengths = [], []
    for i in range(len(p.at) - 1):
        if _same(p.length[i], p.length[i + 1]) and (p.state[i], p.why[i]) != (p.state[i + 1], p.why[i + 1]):
            new = marks(float(p.at[i]), float(p.at[i + 1]))
            places.append(new)
            lengths.append(np.full(len(new), p.length[i]))
    if not places:
        return np.zeros(0), np.zeros(0)
    return np.concatenate(places), np.concatenate(lengths)


def _same(a: float, b: float) -> bool:
    return bool(a == b or (np.isnan(a) and np.isnan(b)))


def joined(a: Places, b: Places) -> Places:
    """Return what there is at all places of two searches of one question."""
    at, length = np.concatenate([a.at, b.at]), np.concatenate([a.length, b.length])
    order = np.lexsort((at, length))

    def both(x: Any, y: Any) -> Any:
        return np.concatenate([x, y])[order]

    rows: dict[str, Row] = {}
    for name in a.uses or b.uses:
        one, two = (p.uses.get(name) for p in (a, b))
        first = one or two
        assert first is not None
        values = {f.name: getattr(first, f.name) for f in fields(first)}
        for key in ("use", "known", "case", "x", "demand", "capacity"):
            empty = False if key == "known" else np.nan
            parts = [np.full(len(p.at), empty) if row is None else getattr(row, key) for p, row in ((a, one), (b, two))]
            values[key] = both(*parts)
        rows[name] = Row(**values)
    index = {name: i for i, name in enumerate(rows)}
    checks = [np.array([index[list(p.uses)[k]] if k >= 0 else -1 for k in p.check], dtype=np.int_) for p in (a, b)]
    return Places(
        at=at[order],
        length=length[order],
        inner=both(a.inner, b.inner),
        outer=both(a.outer, b.outer),
        state=both(a.state, b.state),
        why=both(a.why, b.why),
        reasons=a.reasons,
        uses=rows,
        worst=both(a.worst, b.worst),
        check=both(*checks),
        own=both(a.own, b.own),
    )


@frozen(eq=True)
class Run:
    """Places next to each other that are alike: a window, or a stretch where it may not be."""

    first: int
    """index of the first place"""
    last: int
    state: int
    reason: str
    """what bars it, or the check that has the greatest use where that falls short; empty for a window"""


def runs(p: Places) -> tuple[Run, ...]:
    """Return the stretches of places that are alike, by length and place."""
    names = list(p.uses)

    def alike(i: int) -> tuple[object, ...]:
        length = None if np.isnan(p.length[i]) else float(p.length[i])
        reason = ""
        if p.why[i] >= 0:
            reason = p.reasons[p.why[i]]
        elif p.state[i] == SHORT:
            reason = names[p.check[i]]
        elif p.state[i] == OPEN:
            reason = ", ".join(n for n, r in p.uses.items() if not r.known[i])
        return length, int(p.state[i]), reason

    out: list[Run] = []
    start = 0
    for i in range(1, len(p.at) + 1):
        if i == len(p.at) or alike(i) != alike(start):
            reason = alike(start)[2]
            out.append(Run(first=start, last=i - 1, state=int(p.state[start]), reason=str(reason)))
            start = i
    return tuple(out)
