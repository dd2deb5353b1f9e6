"""What is said of where a shaft may be cut or jointed: sentence, tables, pictures, figures for programs."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from shaftcheck.answer import Answer
from shaftcheck.border.shown import System, axis, show
from shaftcheck.frozen import frozen
from shaftcheck.loads.statics import arm_blade, arm_hand, blade_force
from shaftcheck.model import Array, Hinged, Shaft
from shaftcheck.questions.question import Curve, Mark, Picture, Stretch, Table, numbers
from shaftcheck.said import percent, used
from shaftcheck.sections import at as sections_at
from shaftcheck.studies import placing
from shaftcheck.studies.placing import HOLDS, OPEN, SHORT, Places, Run

__all__ = ["Found", "Lack", "best_of", "data", "pictures", "sentence", "tables"]

_TIE = 0.005
"""places whose greatest uses differ by no more are alike; among them the joint's own use decides [-]"""
_TOP, _ABOVE = 2.0, 1.5
"""a picture shows uses up to the first; where none is so low, up to this many times the least [-]"""
_ROWS = 12
"""places shown from end to end"""


@frozen
class Lack:
    """A place that stowing alone bars, and what it lacks there."""

    index: int
    piece: str
    too_long: float
    """by how much the piece is longer than the longest of its width and thickness that would go in [m]"""


@frozen
class Found:
    """What was found, and what it is called."""

    p: Places
    what: str
    """a cut, or a joint by its kind"""
    place: placing.Place
    pieces: tuple[str, str]
    length_of: str
    """what the second axis is the length of"""
    apart: bool
    """whether the pieces come apart again"""
    system: System
    titles: tuple[str, ...]
    """of the load cases"""
    spots: Mapping[str, int]
    """places that are spoken of, by name"""
    answers: Mapping[str, Answer]
    """of those that can be"""
    room: float | None
    """of the locker [m]"""
    lack: Lack | None = None
    """where the pieces come nearest to stowing, where nothing else bars any place and none stows"""

    def long(self, value: float | Array) -> str:
        """Return a length in words."""
        return show(float(value), "length", self.system)

    def check(self, i: int) -> str:
        """Return the check that is used most at a place."""
        return list(self.p.uses)[self.p.check[i]] if self.p.check[i] >= 0 else ""

    def under(self, i: int) -> str:
        """Return that check with its load case."""
        check = self.check(i)
        row = self.p.uses[check]
        if row.case[i] >= 0:
            return f"{check}, {self.titles[int(row.case[i])]}"
        return f"{check}, all strokes of a life" if row.kind == "wears out" else check

    def open(self, i: int) -> str:
        """Return what is not known at a place."""
        return ", ".join(n for n, r in self.p.uses.items() if not r.known[i])

    def verdict(self, i: int) -> str:
        """Return what is to be said of a place."""
        if self.p.why[i] >= 0:
            return f"can't be: {self.p.reasons[self.p.why[i]]}"
        return {HOLDS: "holds", OPEN: f"not settled: {self.open(i)}", SHORT: "falls short"}[int(self.p.state[i])]

    def length(self, i: int) -> tuple[str, ...]:
        """Return the length of the second axis, where there is one."""
        if np.isnan(self.p.length).all():
            return ()
        return ("as it is" if np.isnan(self.p.length[i]) else self.long(self.p.length[i]),)

    def over(self) -> tuple[str, ...]:
        """Return the head of the second axis, where there is one."""
        return () if np.isnan(self.p.length).all() else (self.length_of,)

    @property
    def runs(self) -> tuple[Run, ...]:
        """Return the stretches that are alike, without the single place of the file where lengths are tried."""
        some = not np.isnan(self.p.length).all()
        return tuple(r for r in placing.runs(self.p) if not (some and np.isnan(self.p.length[r.first])))

    @property
    def focus(self) -> np.ndarray[Any, Any]:
        """Return which places are of the best one's length; where none holds, of the least bad one's that was tried."""
        i = self.spots.get("best", self.least)
        if i is None and self.lack is not None:
            i = self.lack.index
        if i is None or np.isnan(self.p.length).all():
            return np.ones(len(self.p.at), dtype=bool)
        if np.isnan(self.p.length[i]):  # the single place of the file
            i = self._least_of(np.flatnonzero((self.p.why < 0) & ~np.isnan(self.p.length)))
        return np.asarray(np.isnan(self.p.length) if i is None else self.p.length == self.p.length[i])

    @property
    def alike(self) -> tuple[bool, str]:
        """Return whether all that are looked at are of one length, and that length in words where it is a choice."""
        lengths = self.p.length[self.focus]
        if not len(lengths) or np.isnan(self.p.length).all():
            return True, ""
        one = bool(np.isnan(lengths).all() or (lengths == lengths[0]).all())
        if not one:
            return False, ""
        size = "as it is" if np.isnan(lengths[0]) else f"of {self.long(lengths[0])}"
        return True, f", {self.length_of} {size}"

    @property
    def least_as(self) -> str:
        """Return what that place is called where none holds."""
        return "least used" if self.least is not None and self.p.state[self.least] == OPEN else "least bad"

    @property
    def least(self) -> int | None:
        """Return the least used place of those that could be, whether or not it holds; first those not settled."""
        return self._least_of(np.flatnonzero(self.p.why < 0))

    def _least_of(self, tried: np.ndarray[Any, Any]) -> int | None:
        open_ = tried[self.p.state[tried] == OPEN]
        some = open_ if len(open_) else tried
        return int(some[np.argmin(self.p.worst[some])]) if len(some) else None


def best_of(p: Places, among: np.ndarray[Any, Any]) -> int | None:
    """Return which place is best: least greatest use, and of those alike the least use of the joint itself."""
    index = np.flatnonzero(among)
    if not len(index):
        return None
    alike = index[p.worst[index] <= p.worst[index].min() + _TIE]
    return int(alike[np.argmin(p.own[alike])])


def _used(use: float | Array) -> str:
    return percent(use, "up", unknown="")


# ---------------------------------------------------------------------------------------------------------- sentence


def sentence(f: Found) -> str:
    """Return the answer, first of all."""
    p, best = f.p, f.spots.get("best")
    if best is None:
        return _nowhere(f)
    alike = [r for r in f.runs if r.state == HOLDS and f.focus[r.first]]
    spans = " and ".join(
        f"from {f.long(p.at[r.first])} to {f.long(p.at[r.last])}" if r.last > r.first else f"at {f.long(p.at[r.first])}"
        for r in alike
    )
    length = "" if np.isnan(p.length[best]) else f", {f.length_of} of {f.long(p.length[best])},"
    put = "Cut it" if f.what == "cut" else f"Put the {f.what}"
    return (
        f"{put} at {f.long(p.at[best])} from the handle end{length} where it is used least: {_used(p.worst[best])} "
        f"({f.under(best)}), {f.pieces[0]} {f.long(p.inner[best])}, {f.pieces[1]} {f.long(p.outer[best])}. It holds "
        f"{spans}. {_price(f, best)}"
    )


def _nowhere(f: Found) -> str:
    i = f.least
    if i is None:
        bars = "; ".join(dict.fromkeys(f.p.reasons[k] for k in f.p.why if k >= 0))
        said = f"Nowhere: no place is left for the {f.what}. What is in the way: {bars}."
        return said if f.lack is None else f"{said} {_lacks(f, f.lack)}"
    length = "" if np.isnan(f.p.length[i]) else f", {f.length_of} of {f.long(f.p.length[i])}"
    at = f"{f.long(f.p.at[i])} from the handle end{length}, {used(f.p.worst[i])} ({f.under(i)})"
    if f.p.state[i] == OPEN:
        return (
            f"No place for the {f.what} is settled, since this must be checked and was not: {f.open(i)}. Of what was "
            f"checked, the least used place is {at}. Do not cut or glue on this answer."
        )
    more = (
        f" Other lengths of the {f.length_of} were not tried: --shortest and --longest do that."
        if np.isnan(f.p.length).all()
        else f" Lengths of the {f.length_of} beyond those tried, or sizes that `check` advises, may do."
    )
    return f"Nowhere: no place for the {f.what} holds. The least bad is {at}.{more}"


def _lacks(f: Found, lack: Lack) -> str:
    """Return by how much the pieces do not stow where they come nearest to it."""
    length = f.length(lack.index)
    where = f"{f.long(f.p.at[lack.index])} from the handle end" + (f", {f.length_of} {length[0]}" if length else "")
    ends = f"{f.pieces[0]} {f.long(f.p.inner[lack.index])}, {f.pieces[1]} {f.long(f.p.outer[lack.index])}"
    if not np.isfinite(lack.too_long):
        return f"Nearest to stowing it is at {where} ({ends}): {lack.piece} is too thick there at any length."
    by = show(lack.too_long, "length", f.system, side="up")
    return f"Nearest to stowing it is at {where} ({ends}): {lack.piece} is {by} too long there."


def _price(f: Found, best: int) -> str:
    p, even = f.p, f.spots.get("equal pieces")
    if even is None:
        return "Equal pieces were not among the places asked for."
    if even == best:
        return "The pieces are equal there."
    if p.state[even] != HOLDS:
        why = f"{_used(p.worst[even])}, {f.under(even)}" if f.verdict(even) == "falls short" else f.verdict(even)
        return f"Equal pieces, at {f.long(p.at[even])}, would not do ({why})."
    longer = [max(float(p.inner[i]), float(p.outer[i])) for i in (best, even)]
    margins = [percent(1.0 / float(p.worst[i]) - 1.0, "down") for i in (best, even)]
    if margins[0] == margins[1]:
        return (
            f"Equal pieces, at {f.long(p.at[even])}, make the longer one {f.long(longer[0] - longer[1])} shorter and "
            f"cost no margin worth naming: {margins[1]} is left there too."
        )
    return (
        f"Equal pieces, at {f.long(p.at[even])}, make the longer one {f.long(longer[0] - longer[1])} shorter and cost "
        f"margin: {margins[1]} is left instead of {margins[0]}."
    )


# ------------------------------------------------------------------------------------------------------------ tables


def tables(f: Found) -> tuple[Table, ...]:
    """Return windows, the places spoken of, the rig anew at each, where it may not be, and some from end to end."""
    out = [_windows(f), _beside(f), _lengths(f), *([_rigs(f)] if f.what == "cut" else []), _forbidden(f), _along(f)]
    return tuple(t for t in out if t.rows)


def _windows(f: Found) -> Table:
    p = f.p
    rows = []
    for r in f.runs:
        if r.state != HOLDS:
            continue
        inside = np.zeros(len(p.at), dtype=bool)
        inside[r.first : r.last + 1] = True
        i = best_of(p, inside)
        assert i is not None
        sizes = (f.long(p.at[k]) for k in (r.first, r.last, i))
        rows.append((*f.length(i), *sizes, _used(p.worst[i]), f.under(i), f.long(p.inner[i]), f.long(p.outer[i])))
    heads = (*f.over(), "from", "to", "best in it", "used", "by", *f.pieces)
    by = heads.index("by")
    return Table(
        title="Windows: at every place tried in them, their ends too, all is checked and holds",
        heads=heads,
        rows=tuple(rows),
        numeric=tuple(i for i in range(len(heads)) if i != by),
    )


def _beside(f: Found) -> Table:
    p = f.p
    rows = []
    for i in dict.fromkeys(f.spots.values()):
        names = [name for name, k in f.spots.items() if k == i]
        a = f.answers.get(names[0])
        good = show(a.oars[0].pulls["once"], "force", f.system, side="down") if a else ""
        mass = show(float(a.oars[0].whole.mass), "mass", f.system) if a else ""
        by = f.under(i) if p.check[i] >= 0 else ""
        stows = a.oars[0].stowed.state.lower() if a else ""
        verdict = f"{f.verdict(i)}; {stows}" if stows else f.verdict(i)
        ends = (f"{f.long(p.inner[i])}, {f.long(p.outer[i])}", mass)
        rows.append((", ".join(names), f.long(p.at[i]), *f.length(i), verdict, _used(p.worst[i]), by, good, *ends))
    heads = ("", "at", *f.over(), "verdict", "used", "by", "work to, once", ", ".join(f.pieces), "weight")
    words = ("", "verdict", "by", ", ".join(f.pieces))
    return Table(
        title="Places beside each other",
        heads=heads,
        rows=tuple(rows),
        numeric=tuple(i for i, h in enumerate(heads) if h not in words),
    )


def _lengths(f: Found) -> Table:
    """Return the best place of each length, or its least bad."""
    p = f.p
    rows = []
    for length in np.unique(p.length[~np.isnan(p.length)]):
        here = p.length == length
        i = best_of(p, here & (p.state == HOLDS))
        if i is None:
            tried = np.flatnonzero(here & (p.why < 0))
            if not len(tried):
                continue
            i = int(tried[np.argmin(p.worst[tried])])
        rows.append((f.long(length), f.long(p.at[i]), f.verdict(i), _used(p.worst[i]), f.under(i)))
    return Table(
        title=f"Each length of the {f.length_of} at its best place",
        heads=(f.length_of, "at", "verdict", "used", "by"),
        rows=tuple(rows),
        numeric=(0, 1, 3),
    )


def _rigs(f: Found) -> Table:
    """Return levers, movements, moments and sections of the new rigs."""
    p = f.p
    rows = []
    ratio = ""
    for name, i in f.spots.items():
        if p.why[i] >= 0:
            continue
        shaft = _at(f, i)
        rig = shaft.rig
        assert isinstance(rig, Hinged)
        ratio = f"{float(np.ravel(rig.ratio)[0]):.3g}"
        once = shaft.rower.once
        arm_water = shaft.blade.centroid - rig.outer_pin
        moments = once * arm_hand(shaft), blade_force(shaft, once) * arm_blade(shaft)
        sections = []
        for mouth in (rig.inner_from, rig.outer_to):
            depth, width, _, _ = sections_at(mouth[..., None, None], shaft.stations)
            sections.append(f"{f.long(depth[0, 0, 0])} x {f.long(width[0, 0, 0])}")
        rows.append(
            (
                name,
                f"{f.long(arm_hand(shaft)[0])}, {f.long(arm_blade(shaft)[0])}",
                f"{float(np.ravel(rig.ratio * arm_water / arm_hand(shaft))[0]):.3g}",
                f.long(np.ravel(rig.spacing)[0]),
                ", ".join(show(abs(float(m[0])), "moment", f.system) for m in moments),
                ", ".join(sections),
            )
        )
    return Table(
        title=f"The rig anew at each, the link's ratio {ratio} at all: levers of hand and blade, how far the blade's "
        "middle moves while the hand moves 1, moments at inner and outer pin under "
        "the greatest single pull, sections at the mouths of inner and outer cradle",
        heads=("", "levers", "blade moves", "pin spacing", "moments", "sections"),
        rows=tuple(rows),
    )


def _at(f: Found, i: int) -> Shaft:
    return f.place(f.p.at[i : i + 1], f.p.length[i : i + 1]).shaft


def _forbidden(f: Found) -> Table:
    p = f.p
    rows = []
    for r in f.runs:
        if r.state == HOLDS or not f.focus[r.first]:
            continue
        span, reason = "", r.reason
        if p.check[r.first] >= 0 and r.state == SHORT:
            low, high = (_used(v) for v in (p.worst[r.first : r.last + 1].min(), p.worst[r.first : r.last + 1].max()))
            span = low if low == high else f"{low} to {high}"
        elif r.state == OPEN:
            reason = f"not checked: {r.reason}"
        rows.append((*f.length(r.first), f.long(p.at[r.first]), f.long(p.at[r.last]), reason, span))
    heads = (*f.over(), "from", "to", "why not", "used")
    return Table(
        title="Where it may not be",
        heads=heads,
        rows=tuple(rows),
        numeric=tuple(i for i, h in enumerate(heads) if h != "why not"),
    )


def _along(f: Found) -> Table:
    """Return a few places from end to end."""
    p = f.p
    index = np.flatnonzero((p.check >= 0) & np.isfinite(p.worst) & f.focus)
    index = index[np.argsort(p.at[index], kind="stable")]
    if len(index) > _ROWS:
        marks = np.linspace(p.at[index[0]], p.at[index[-1]], _ROWS)
        index = np.unique(index[np.abs(p.at[index][None, :] - marks[:, None]).argmin(axis=1)])
    own = () if f.what == "cut" else (f"{f.what} alone",)
    alike, long = f.alike
    rows = []
    for i in map(int, index):
        before = () if alike else f.length(i)
        joint = [_used(p.own[i])] if own else []
        ends = f.long(p.inner[i]), f.long(p.outer[i])
        rows.append((*before, f.long(p.at[i]), f.verdict(i), _used(p.worst[i]), f.under(i), *joint, *ends))
    heads = (*(() if alike else f.over()), "at", "verdict", "used", "by", *own, *f.pieces)
    return Table(
        title=f"Some of the places that were checked, from end to end{long}",
        heads=heads,
        rows=tuple(rows),
        numeric=tuple(i for i, h in enumerate(heads) if h not in ("verdict", "by")),
    )


# ---------------------------------------------------------------------------------------------------------- pictures


def pictures(f: Found) -> tuple[Picture, ...]:
    """Return use by place, and length of the pieces by place."""
    p, focus = f.p, f.focus
    long = f.alike[1]
    name, per = axis("length", f.system)
    unit = 1.0 / per
    x = p.at[focus] * unit
    seen, times = np.unique(p.check[focus & (p.check >= 0)], return_counts=True)
    often = [list(p.uses)[k] for k in seen[np.argsort(-times, kind="stable")]]
    tried = p.worst[focus & (p.why < 0) & np.isfinite(p.worst)]
    top = max(_TOP, _ABOVE * float(tried.min(initial=np.inf) if len(tried) else 0.0))
    curves = tuple(
        Curve(label=check, x=x, y=y * 100.0)
        for check, y in ((c, np.where(p.uses[c].use <= top, p.uses[c].use, np.nan)[focus]) for c in often)
        if np.any(y > 0.0)  # a rule of place is kept or not: it has no line
    )[:6]
    stretches = tuple(
        Stretch(
            start=float(p.at[r.first]) * unit,
            end=float(p.at[r.last]) * unit,
            good=r.state == HOLDS,
            label="holds" if r.state == HOLDS else f"not settled: {r.reason}" if r.state == OPEN else r.reason,
        )
        for r in f.runs
        if focus[r.first]
    )
    marks = tuple(
        Mark(x=float(p.at[i]) * unit, y=float(p.worst[i]) * 100.0, label=spot)
        for spot, i in f.spots.items()
        if focus[i] and p.worst[i] <= top
    )
    where = f"where the {f.what} is, from the handle end, {name}"
    holds = " and ".join(f"{s.start:.0f} to {s.end:.0f} {name}" for s in stretches if s.good) or "nowhere"
    return (
        Picture(
            title=f"Where the {f.what} may be{long}",
            says=f"Use of each check that governs somewhere, by the place. It holds from {holds}. "
            + " ".join(f"{m.label}: {m.x:.0f} {name}, {m.y:.0f} %." for m in marks),
            x_label=where,
            y_label="use of the limit, %",
            curves=curves,
            stretches=stretches,
            marks=marks,
            limit=100.0,
            limit_label="the limit",
        ),
        Picture(
            title="How long the pieces are, " + ("apart" if f.apart else "as cut") + long,
            says="Length of both pieces by the place; they cross where the pieces are equal.",
            x_label=where,
            y_label=name,
            curves=(
                Curve(label=f.pieces[0], x=x, y=p.inner[focus] * unit),
                Curve(label=f.pieces[1], x=x, y=p.outer[focus] * unit),
            ),
            stretches=stretches,
            limit=f.room * unit if f.room is not None and f.apart else None,
            limit_label="the locker" if f.room is not None and f.apart else "",
        ),
    )


def data(f: Found) -> dict[str, Any]:
    """Return all that was found, for programs."""
    p, names = f.p, list(f.p.uses)
    words = {HOLDS: "holds", OPEN: "not settled", SHORT: "falls short"}
    return {
        "places": {
            "at": numbers(p.at, "m"),
            "length": numbers(p.length, "m"),
            "inner_piece": numbers(p.inner, "m"),
            "outer_piece": numbers(p.outer, "m"),
            "verdict": [words[int(v)] if w < 0 else "can't be" for v, w in zip(p.state, p.why, strict=True)],
            "why_not": [p.reasons[k] if k >= 0 else "" for k in p.why],
            "greatest_use": numbers(p.worst, ""),
            "governed_by": [names[k] if k >= 0 else "" for k in p.check],
            "uses": {name: numbers(row.use, "") for name, row in p.uses.items()},
        },
        "windows": [
            {
                "from": numbers(float(p.at[r.first]), "m"),
                "to": numbers(float(p.at[r.last]), "m"),
                "length": numbers(float(p.length[r.first]), "m"),
            }
            for r in f.runs
            if r.state == HOLDS
        ],
        "spots": {name: {"index": int(i), "at": numbers(float(p.at[i]), "m")} for name, i in f.spots.items()},
    }
