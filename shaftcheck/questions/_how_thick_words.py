"""What is said of the lightest taper and the shortest joints: sentence, tables, pictures, figures for programs."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from shaftcheck.border.shown import System, axis, show
from shaftcheck.engine import Row
from shaftcheck.frozen import frozen
from shaftcheck.model import Array, Shaft
from shaftcheck.questions.question import Curve, Mark, Picture, Table, numbers
from shaftcheck.said import margin_left, percent, used
from shaftcheck.sections import at as sections_at
from shaftcheck.studies.forms import Ints, Task
from shaftcheck.studies.lengths import Lengths, Mishap
from shaftcheck.studies.taper import Binding, Taper
from shaftcheck.words import near

__all__ = ["JointFound", "Sized", "data", "pictures", "sentence", "tables"]


@frozen
class Sized:
    """The lightest taper, with what it is held against."""

    task: Task
    taper: Taper
    mishaps: tuple[Mishap, ...]
    mass: float
    """of the file's oar [kg]"""
    before: tuple[float, str]
    """greatest use of the file's shaft, and which check has it"""
    file: Shaft
    titles: tuple[str, ...]


@frozen
class JointFound:
    """One joint in many lengths, on some sections."""

    kind: str
    index: int
    where: str
    tried: Lengths
    names: tuple[str, ...]
    """what the trade calls each length, where that is not its length"""
    shortest: int | None
    good: Ints
    """which lengths hold with the margin"""
    doc: Mapping[str, Any] | None
    titles: tuple[str, ...]

    def long(self, i: int, system: System) -> str:
        """Return a length in words."""
        length = float(self.tried.length[i])
        plain = show(length, "length", system, side="up")
        return f"{self.names[i]} ({plain})" if self.names else plain


def _worst(uses: Mapping[str, Row]) -> tuple[str, float]:
    known = {name: float(row.use) for name, row in uses.items() if not np.isnan(row.use)}
    name = max(known, key=lambda k: known[k])
    return name, known[name]


def _under(row: Row, titles: Sequence[str]) -> str:
    if row.case >= 0:
        return f"{row.check}, {titles[int(row.case)]}"
    return f"{row.check}, all strokes of a life" if row.kind == "wears out" else row.check


# ---------------------------------------------------------------------------------------------------------- sentence


def sentence(sized: Sized | None, joints: Sequence[JointFound], margin: float, system: System) -> str:
    """Return the answer, first of all."""
    parts = []
    if sized is not None:
        parts.append(_of_taper(sized, margin, system))
    parts += [_of_joint(j, margin, system) for j in joints]
    return " ".join(parts) if parts else "There is no joint here whose length could be sought."


def _of_taper(s: Sized, margin: float, system: System) -> str:
    check, use = _worst(s.taper.uses)
    wanted = f"a margin of {percent(margin, digits=4)}"
    open_ = ", ".join(name for name, row in s.taper.uses.items() if not row.known)
    row = s.taper.uses[check]
    if not s.taper.holds:
        return (
            f"Nothing within these limits holds with {wanted}: even the largest sizes are used to {percent(use, 'up')} "
            f"({_under(row, s.titles)})."
        )
    mass, old = (show(v, "mass", system) for v in (s.taper.mass, s.mass))
    out = (
        f"The lightest oval taper found that leaves {wanted} weighs {mass} as a whole oar, where the file's weighs "
        f"{old} and is used to {percent(s.before[0], 'up')} ({s.before[1]}); the new one is used most "
        f"{near(s.file, float(row.x))}, {percent(use, 'up')} ({_under(row, s.titles)})."
    )
    return out if not open_ else f"Not settled, since this must be checked and was not: {open_}. Apart from that: {out}"


def _of_joint(j: JointFound, margin: float, system: System) -> str:
    what = f"the {j.kind}"
    if j.shortest is None:
        k = int(np.argmin(j.tried.worst))
        if not j.tried.known.any() and np.isfinite(j.tried.worst).any():
            return f"{j.where.capitalize()} no length of {what} is settled: not all of it could be checked."
        return (
            f"{j.where.capitalize()} no length of {what} leaves {percent(margin, digits=4)}; the least bad is "
            f"{j.long(k, system)}, {used(float(j.tried.worst[k]))}."
        )
    last = _end(j)
    if last == j.shortest:
        return f"{j.where.capitalize()} {what} must be {j.long(last, system)}."
    longer = "" if last == len(j.tried.length) - 1 else f", and as long as {j.long(last, system)}"
    return f"{j.where.capitalize()} {what} may be as short as {j.long(j.shortest, system)}{longer}."


def _end(j: JointFound) -> int:
    """Return the last of the lengths that hold in one run from the shortest on."""
    at = int(j.good[0])
    for k in j.good[1:]:
        if int(k) != at + 1:
            break
        at = int(k)
    return at


# ------------------------------------------------------------------------------------------------------------ tables


def tables(sized: Sized | None, joints: Sequence[JointFound], target: float, system: System) -> tuple[Table, ...]:
    """Return sizes with what binds them, uses, what may go wrong, and the joints by length."""
    out = []
    if sized is not None:
        out += [_sizes(sized, system), _uses(sized, system)]
        out += [_mishaps(sized)] if sized.mishaps else []
    out += [_lengths(j, target, system) for j in joints]
    return tuple(t for t in out if t.rows)


def _file_sizes(s: Sized) -> tuple[Array, Array]:
    depth, width, _, _ = sections_at(s.task.x[None, :], s.file.stations)
    return depth[0], width[0]


def _reason(b: Binding | None) -> str:
    if b is None:
        return ""
    return b.reason if math.isnan(b.use) else f"{b.reason} {percent(b.use, 'up')}"


def _sizes(s: Sized, system: System) -> Table:
    old = _file_sizes(s)
    by = {(b.station, b.depth): b for b in s.taper.binding}
    rows = []
    for station in s.task.before:
        sizes = (show(float(v), "length", system) for v in (station.depth, station.width))
        rows.append((show(float(station.x), "length", system), *sizes, "the same", "the grip stays", ""))
    for i, (d, w) in enumerate(s.taper.marks):
        was = " by ".join(show(float(v[i]), "length", system) for v in old)
        sizes = (show(float(v) * s.task.mark, "length", system) for v in (d, w))
        reasons = (_reason(by.get((i, k))) for k in (True, False))
        rows.append((show(float(s.task.x[i]), "length", system), *sizes, was, *reasons))
    return Table(
        title="Sizes to plane to, and what keeps each from being one mark less (the use that it would have)",
        heads=("at", "fore and aft", "up and down", "in the file", "keeps the depth", "keeps the width"),
        rows=tuple(rows),
        numeric=(0, 1, 2),
    )


def _uses(s: Sized, system: System) -> Table:
    rows = sorted(s.taper.uses.values(), key=lambda r: -float(np.nan_to_num(r.use, nan=99.0)))
    return Table(
        title="How much of each limit that shaft uses" if s.taper.holds else "The largest sizes within the limits use",
        heads=("check", "from handle end", "used", "margin"),
        rows=tuple(
            (
                _under(r, s.titles),
                show(float(r.x), "length", system),
                percent(r.use, "up"),
                margin_left(r.use),
            )
            for r in rows[:12]
            if not r.use <= 0.0
        ),
        numeric=(1, 2, 3),
    )


def _mishaps(s: Sized) -> Table:
    return Table(
        title="What would become of it",
        heads=("", "used", "by", "margin left"),
        rows=tuple((m.what, percent(m.use, "up"), m.check, margin_left(m.use)) for m in s.mishaps),
        numeric=(1, 3),
    )


def _lengths(j: JointFound, target: float, system: System) -> Table:
    count = len(j.tried.length)
    near_by = {round(k) for k in np.linspace(0, count - 1, 9)}
    if j.shortest is not None:
        near_by |= {j.shortest, max(j.shortest - 1, 0), _end(j), min(_end(j) + 1, count - 1)}
    rows = []
    for i in sorted(near_by):
        fits = np.isfinite(j.tried.worst[i]) or j.tried.known[i]
        why = next((text for text, where in j.tried.barred if where[i]), "") or _beyond(j, i)
        verdict = (
            why
            if why
            else "not settled"
            if not j.tried.known[i]
            else "holds with the margin"
            if j.tried.worst[i] <= target
            else "too little"
        )
        rows.append(
            (
                j.long(i, system),
                verdict,
                percent(j.tried.own[i], "up") if fits else "",
                percent(j.tried.worst[i], "up") if fits else "",
            )
        )
    return Table(
        title=f"The {j.kind}, {j.where}, by its length",
        heads=("length", "verdict", f"{j.kind} used", "whole shaft used"),
        rows=tuple(rows),
        numeric=(0, 2, 3),
    )


def _beyond(j: JointFound, i: int) -> str:
    """Return the check that no load could meet at a length, as where the joint would lie under the lock."""
    k = int(np.searchsorted(j.tried.checked, i))
    return next((name for name, row in j.tried.uses.items() if np.isinf(row.use[k])), "")


# ---------------------------------------------------------------------------------------------------------- pictures


def pictures(sized: Sized | None, joints: Sequence[JointFound], target: float, system: System) -> tuple[Picture, ...]:
    """Return the taper against the file's, and use by length for every joint."""
    name, per = axis("length", system)
    unit = 1.0 / per
    out = []
    if sized is not None:
        out.append(_outline(sized, unit, name))
    for j in joints:
        ok = np.isfinite(j.tried.worst)
        x = j.tried.length * unit
        curves = (
            Curve(label=f"the {j.kind}", x=x, y=np.where(ok & (j.tried.own <= 3.0), j.tried.own, np.nan) * 100.0),
            Curve(label="the whole shaft", x=x, y=np.where(ok & (j.tried.worst <= 3.0), j.tried.worst, np.nan) * 100.0),
        )
        marks = () if j.shortest is None else (
            Mark(x=float(x[j.shortest]), y=float(j.tried.worst[j.shortest]) * 100.0, label="shortest"),
        )  # fmt: skip
        out.append(
            Picture(
                title=f"The {j.kind}, {j.where}",
                says=f"Use by the length of the {j.kind}; "
                + ("none holds." if j.shortest is None else f"the shortest that holds is {x[j.shortest]:.0f} {name}."),
                x_label=f"length of the {j.kind}, {name}",
                y_label="use of the limit, %",
                curves=curves,
                marks=marks,
                limit=target * 100.0,
                limit_label="the limit with the margin",
            )
        )
    return tuple(out)


def _outline(s: Sized, unit: float, name: str) -> Picture:
    before = s.task.before
    x = np.concatenate([[float(b.x) for b in before], s.task.x]) * unit
    fine = np.linspace(0.0, float(s.task.x[-1]), 200)
    depth, width, _, _ = sections_at(fine[None, :], s.file.stations)
    sizes = s.taper.marks * s.task.mark * unit
    new = [
        np.concatenate([[float(getattr(b, k)) * unit for b in before], sizes[:, i]])
        for i, k in enumerate(("depth", "width"))
    ]
    top = int(np.argmax(sizes[:, 0]))
    return Picture(
        title="The lightest taper" if s.taper.holds else "The largest sizes within the limits; they do not hold",
        says=f"Sizes along the shaft, new and in the file; thickest at {s.task.x[top] * unit:.0f} {name}, "
        f"{sizes[top, 0]:.3g} by {sizes[top, 1]:.3g} {name}.",
        x_label=f"from the handle end, {name}",
        y_label=f"size, {name}",
        curves=(
            Curve(label="fore and aft", x=x, y=new[0]),
            Curve(label="up and down", x=x, y=new[1]),
            Curve(label="fore and aft, in the file", x=fine * unit, y=depth[0] * unit),
            Curve(label="up and down, in the file", x=fine * unit, y=width[0] * unit),
        ),
    )


def data(sized: Sized | None, joints: Sequence[JointFound], margin: float) -> dict[str, Any]:
    """Return all that was found, for programs."""
    out: dict[str, Any] = {"margin": numbers(margin, "")}
    if sized is not None:
        t = sized.taper
        out["taper"] = {
            "holds": t.holds,
            "settled": t.known,
            "at": numbers(sized.task.x, "m"),
            "fore_and_aft": numbers(np.asarray(t.marks[:, 0] * sized.task.mark, dtype=np.float64), "m"),
            "up_and_down": numbers(np.asarray(t.marks[:, 1] * sized.task.mark, dtype=np.float64), "m"),
            "mass": numbers(t.mass, "kg"),
            "mass_in_the_file": numbers(sized.mass, "kg"),
            "greatest_use_in_the_file": {"use": numbers(sized.before[0], ""), "check": sized.before[1]},
            "uses": {name: numbers(float(row.use), "") for name, row in t.uses.items()},
            "keeps": [
                {
                    "at": numbers(float(sized.task.x[b.station]), "m"),
                    "size": "fore and aft" if b.depth else "up and down",
                    "reason": b.reason,
                    "use_at_a_mark_less": numbers(b.use, ""),
                }
                for b in t.binding
            ],
            "shafts_tried": t.tried,
            "what_would_become_of_it": [
                {"what": m.what, "use": numbers(m.use, ""), "check": m.check} for m in sized.mishaps
            ],
        }
    out["joints"] = [
        {
            "kind": j.kind,
            "number": j.index + 1,
            "where": j.where,
            "length": numbers(j.tried.length, "m"),
            "joint_use": numbers(j.tried.own, ""),
            "greatest_use": numbers(j.tried.worst, ""),
            "known": [bool(v) for v in j.tried.known],
            "shortest": None if j.shortest is None else numbers(float(j.tried.length[j.shortest]), "m"),
        }
        for j in joints
    ]
    return out
