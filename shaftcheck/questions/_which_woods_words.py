"""What is said of pairs of woods for one shaft: sentence, tables, picture, figures for programs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from shaftcheck.border.shown import System, axis, show
from shaftcheck.frozen import frozen
from shaftcheck.model import Array, Bools
from shaftcheck.questions._woods import Candidate, bonding
from shaftcheck.questions.question import Curve, Mark, Picture, Table, numbers
from shaftcheck.said import BEYOND, percent, used
from shaftcheck.studies.woods import NAMES, PARTS, Found, Index

__all__ = ["AIMS", "GROUPS", "NOT_JUDGED", "TIE", "Chosen", "Pairs", "data", "picture", "sentence", "tables"]

TIE = 0.10
"""differences under this part of a figure are ties: woods of one kind differ by more (judgement)"""
SAME_PLACE = 0.01
"""balance points nearer to each other than this are one [m] (judgement)"""
_SHOWN = 6
"""pairs of each group in the table"""
NOT_JUDGED = "not judged yet: "
"""how it begins why a plank is left out of which something must be measured first"""
GROUPS = ("both from the shelf", "one from the shelf", "woods of the tables")
AIMS = {"light": "weight", "stiff": "movement", "strong": "use", "easy to lift": "lift"}


@frozen
class Pairs:
    """Pairs of candidates and their figures."""

    inner: list[Candidate]
    outer: list[Candidate]
    found: Found
    rank: Array
    """of bonding, easiest 0; nan where the list does not name one of the two"""
    group: Array
    """index in `GROUPS`"""
    settled: Bools
    """whether everything that a pair needs was checked"""
    sought: Array
    """the figure that is sought to be small"""

    def take(self, index: Sequence[int] | Index) -> Pairs:
        """Return some of them."""
        index = np.asarray(index, dtype=np.intp)
        values: dict[str, Any] = {
            k: getattr(self.found, k)[index] for k in Found.__dataclass_fields__ if k not in NAMES
        }
        return Pairs(
            inner=[self.inner[i] for i in index],
            outer=[self.outer[i] for i in index],
            found=Found(checks=self.found.checks, rules=self.found.rules, **values),
            rank=self.rank[index],
            group=self.group[index],
            settled=self.settled[index],
            sought=self.sought[index],
        )


@frozen
class Chosen:
    """What was chosen of the pairs, and how it is told."""

    close: Pairs
    """those that were looked at closely"""
    good: Index
    """those of them that hold"""
    best: list[int]
    """the best of each group, where one holds"""
    mine: Pairs
    """the one pair that all are compared with"""
    every: Pairs
    """all that were tried"""
    counts: dict[str, int]
    left_out: list[tuple[str, str]]
    """planks, and why"""
    shelf: int
    """planks on it"""
    aim: str
    jointed: bool
    glued: bool
    lifted: bool
    """whether the whole oar is lifted by one hand"""
    system: System


# ------------------------------------------------------------------------------------------------------------- sentence


def sentence(s: Chosen) -> str:
    """Return the answer, first of all."""
    p, best, mine, counts, every = s.close, s.best, s.mine, s.counts, s.every
    if not best:
        f = every.found
        ok = np.flatnonzero(every.settled)
        near = ""
        if len(ok):
            k = ok[np.argmin(f.worst[ok])]
            broken = f.misplaced[k]
            if broken:
                return (
                    f"No pair of the {counts['tried']} tried holds in this shaft: it is badly placed, whatever it is "
                    f"made of ({', '.join(broken)}). Move the joint first."
                )
            near = f" The nearest is {every.inner[k].name} with {every.outer[k].name}, {used(f.worst[k])}."
        shelf = f" {_of_the_shelf(s)}" if s.shelf and s.left_out else ""
        return (
            f"No pair of the {counts['tried']} tried holds in this shaft.{near} It needs thicker sections first, or "
            f"other woods.{shelf}"
        )
    k = best[0]
    where = GROUPS[int(p.group[k])]
    f = p.found
    part = PARTS[int(np.nanargmax(f.use[k]))]
    aim = p.sought
    ties = [i for i in range(len(aim)) if i != k and p.group[i] == p.group[k] and abs(aim[i] / aim[k] - 1.0) < TIE]
    said = (
        f"Inboard {p.inner[k].name}; outboard {p.outer[k].name} ({where}). It holds, used most "
        f"{'at the joint' if part == 'joint' else part} with {percent(f.worst[k], 'up')}, and weighs "
        f"{show(float(f.mass[k]), 'mass', s.system)}."
    )
    if s.shelf > 1 and p.group[k] > 0:
        said = f"{_of_the_shelf(s)} {said}"
    gains = [f"{name} {value}" for name, value in _gains(s, p, k, mine) if "%" in value]
    other = f"{mine.inner[0].name} with {mine.outer[0].name}"
    said += f" Against {other}: {', '.join(gains) if gains else 'all within a tie'}."
    if ties:
        said += f" {len(ties)} more of its kind lie within 10 % in {AIMS[s.aim]}."
    return said


def _of_the_shelf(s: Chosen) -> str:
    """Return why no two planks of the shelf are the answer: tried and fallen short, or never tried, and why not."""
    tried = int((s.every.group == 0).sum())
    said = "No two planks of the shelf were tried together"
    if tried:
        pairs = "the one pair" if tried == 1 else f"the {tried} pairs"
        said = f"Of the planks of the shelf, {pairs} that could be tried {'does' if tried == 1 else 'do'} not hold"
    open_ = {name: why.removeprefix(NOT_JUDGED) for name, why in s.left_out if why.startswith(NOT_JUDGED)}
    other = len({name for name, _ in s.left_out} - set(open_))
    out = []
    if open_:
        first, why = next(iter(open_.items()))
        each = f"all {s.shelf}" if len(open_) == s.shelf else f"{len(open_)} of {s.shelf}"
        out.append(f"{each} {'is' if len(open_) == 1 else 'are'} still to be judged ({first}: {why})")
    if other:
        out.append(f"{other} of {s.shelf} {'is' if other == 1 else 'are'} not fit, or too small for a part")
    return f"{said}{': ' if out else ''}{'; '.join(out)}."


# --------------------------------------------------------------------------------------------------------------- tables


def tables(s: Chosen) -> tuple[Table, ...]:
    """Return the pairs by group, the pair they are compared with, gain and loss, and the planks that are left out."""
    p, good, best, mine = s.close, s.good, s.best, s.mine
    aim = p.sought
    out = []
    numeric = tuple(i for i, h in enumerate(_heads(s)) if h not in ("inboard + outboard", "bonds"))
    for g, title in enumerate(GROUPS):
        index = [int(i) for i in good if p.group[i] == g]
        index.sort(key=lambda i: (i not in best, aim[i]))
        if index:
            rows = tuple(_row(s, p, i) for i in index[:_SHOWN])
            more = f": {_SHOWN} of {len(index)}" if len(index) > _SHOWN else ""
            said = f"{title[0].upper()}{title[1:]}, that hold and that no other beats in everything{more}"
            out.append(Table(title=said, heads=_heads(s), rows=rows, numeric=numeric))
    other = f"{mine.inner[0].name} with {mine.outer[0].name}"
    holds = bool(mine.found.holds[0] & mine.settled[0])
    state = "holds" if holds else "falls short" if not mine.found.worst[0] <= 1.0 else "not settled"
    out.append(Table(title=f"For comparison, {state}", heads=_heads(s), rows=(_row(s, mine, 0),), numeric=numeric))
    if best:
        heads = ("gain and loss", *(f"{p.inner[k].name} + {p.outer[k].name}" for k in best))
        columns = [_gains(s, p, k, mine) for k in best]
        rows = tuple((columns[0][r][0], *(c[r][1] for c in columns)) for r in range(len(columns[0])))
        out.append(
            Table(
                title=f"Against {other}; under 10 % is a tie",
                heads=heads,
                rows=rows,
                numeric=tuple(range(1, len(heads))),
            )
        )
    if s.left_out:
        out.append(
            Table(title="Planks left out, of one part or of both", heads=("plank", "why"), rows=tuple(s.left_out))
        )
    return tuple(out)


def _row(s: Chosen, p: Pairs, i: int) -> tuple[str, ...]:
    f = p.found
    cells = [f"{p.inner[i].name} + {p.outer[i].name}"]
    parts = (0, 1, 2) if s.jointed else (0, 2)
    cells += [percent(f.use[i, k], "up", unknown="none") if f.known[i, k] else "not known" for k in parts]
    cells.append(show(float(f.mass[i]), "mass", s.system))
    cells.append(show(float(f.balance[i]), "length", s.system))
    if s.lifted:
        cells.append(show(float(f.lift[i]), "force", s.system))
    cells.append(show(float(f.movement[i]), "length", s.system))
    if s.glued:
        cells.append(bonding(p.inner[i], p.outer[i])[0] or "not known")
    return tuple(cells)


def _heads(s: Chosen) -> tuple[str, ...]:
    heads = ["inboard + outboard", "used in"]
    heads += ["at joint", "used out"] if s.jointed else ["used out"]
    heads += ["weight", "balance", "hand lifts", "blade moves"] if s.lifted else ["weight", "balance", "blade moves"]
    return tuple(heads + (["bonds"] if s.glued else []))


def _gains(s: Chosen, p: Pairs, i: int, mine: Pairs) -> tuple[tuple[str, str], ...]:
    f, m = p.found, mine.found
    out = [
        (f"used {part if part != 'joint' else 'at the joint'}", _change(float(f.use[i, k]), float(m.use[0, k])))
        for k, part in enumerate(PARTS)
        if not np.isnan(f.use[i, k])
    ]
    out.append(("weight", _change(float(f.mass[i]), float(m.mass[0]))))
    if s.lifted:
        out.append(("hand's force to lift", _change(float(f.lift[i]), float(m.lift[0]))))
    if s.glued:
        out.append(("stiffer wood over softer", _change(float(f.mismatch[i]), float(m.mismatch[0]))))
    out.append(("swing", _change(float(f.swing[i]), float(m.swing[0]))))
    out.append(("movement at the blade", _change(float(f.movement[i]), float(m.movement[0]))))
    moved = float(f.balance[i] - m.balance[0])
    side = "outboard" if moved > 0 else "inboard"
    same = abs(moved) < SAME_PLACE
    out.append(("balance", "tie" if same else f"{show(abs(moved), 'length', s.system)} {side}"))
    return tuple(out)


def _change(new: float, old: float) -> str:
    """Return a difference in words; under the tie it is one."""
    if np.isnan(new) or np.isnan(old) or old == 0.0:
        return "not known"
    if np.isinf(old):
        return BEYOND if np.isinf(new) else f"from {BEYOND}"
    d = new / old - 1.0
    if abs(d) < TIE:
        return "tie"
    return BEYOND if np.isinf(d) else f"{percent(abs(d))} {'more' if d > 0.0 else 'less'}"


# -------------------------------------------------------------------------------------------------------------- picture


def picture(s: Chosen) -> Picture:
    """Return the pairs by weight and use, and the best of each group by name."""
    p, good, best, mine = s.close, s.good, s.best, s.mine
    f = p.found
    unit, per = axis("mass", s.system)
    scale = 1.0 / per
    curves = []
    for g, title in enumerate(GROUPS):
        index = good[p.group[good] == g]
        if len(index):
            curves.append(Curve(label=title, x=f.mass[index] * scale, y=f.worst[index] * 100.0, points=True))
    names = [" + ".join(_short(c) for c in (p.inner[k], p.outer[k])) for k in best]
    marks = [_mark(p, k, scale, name) for k, name in zip(best, names, strict=True)]
    if np.isfinite(mine.found.worst[0]):
        marks.append(
            _mark(mine, 0, scale, f"compared with: {' + '.join(_short(c) for c in (mine.inner[0], mine.outer[0]))}")
        )
    return Picture(
        title="Pairs that hold and that no other beats: lighter to the left, more in hand below",
        says="Points of weight across and use upward for each pair that holds; diamonds stand at the best of each "
        "group and at the pair that it is compared with, each by name.",
        x_label=f"weight of the oar, {unit}",
        y_label="use of what governs, %",
        curves=tuple(curves),
        marks=tuple(marks),
        limit=100.0,
        limit_label="the limit",
    )


def _short(c: Candidate) -> str:
    return c.plank.short if c.plank else c.name


def _mark(p: Pairs, k: int, scale: float, label: str) -> Mark:
    return Mark(x=float(p.found.mass[k] * scale), y=float(p.found.worst[k] * 100.0), label=label)


# -------------------------------------------------------------------------------------------------------------- figures


def data(s: Chosen) -> dict[str, Any]:
    """Return all that was found, for programs."""
    return {
        "pairs": [_record(s.close, int(i)) for i in s.good],
        "best": [_record(s.close, k) for k in s.best],
        "against": _record(s.mine, 0),
        "counts": s.counts,
        "left_out": [{"plank": n, "why": w} for n, w in s.left_out],
    }


def _record(p: Pairs, i: int) -> dict[str, Any]:
    f = p.found
    return {
        "inboard": p.inner[i].name,
        "outboard": p.outer[i].name,
        "from": GROUPS[int(p.group[i])],
        "holds": bool(f.holds[i] & p.settled[i]),
        "used": {part: numbers(float(f.use[i, k]), "") for k, part in enumerate(PARTS) if not np.isnan(f.use[i, k])},
        "governed_by": {
            part: f.checks[int(f.governs[i, k])] for k, part in enumerate(PARTS) if not np.isnan(f.use[i, k])
        },
        "weight": numbers(float(f.mass[i]), "kg"),
        "balance": numbers(float(f.balance[i]), "m"),
        "lift": numbers(float(f.lift[i]), "N"),
        "swing": numbers(float(f.swing[i]), "kg m2"),
        "movement": numbers(float(f.movement[i]), "m"),
        "stiffer_over_softer": numbers(float(f.mismatch[i]), ""),
        "bonds": bonding(p.inner[i], p.outer[i])[0],
    }
