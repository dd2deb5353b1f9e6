"""Which two woods? The planks on the shelf first, the woods of the tables second."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from shaftcheck.border.shown import System, axis, say, show
from shaftcheck.border.wood_rows import BONDING
from shaftcheck.border.woods import find, names
from shaftcheck.errors import Fault, InputError
from shaftcheck.frozen import frozen
from shaftcheck.key import Key
from shaftcheck.model import Array, Bools, OnePiece, Shaft, number
from shaftcheck.questions._woods import (
    SHELF,
    Candidate,
    bonding,
    glued,
    lacks_of,
    named,
    of_plank,
    of_table,
    on_shelf,
    places,
    stock_of,
    too_small,
    two_woods,
    with_woods,
)
from shaftcheck.questions.question import Asked, Curve, Finding, Mark, Picture, Question, Table, Winner, numbers, ready
from shaftcheck.said import BEYOND, percent, used
from shaftcheck.studies.woods import NAMES, PARTS, Found, Index, beam_of, dominated, found

__all__ = ["QUESTION"]

TIE = 0.10
"""differences under this part of a figure are ties: woods of one kind differ by more (judgement)"""
SAME_PLACE = 0.01
"""balance points nearer to each other than this are one [m] (judgement)"""
_SHORT = 24
"""pairs of each group that are looked at closely"""
_SHOWN = 6
"""pairs of each group in the table"""
_GROUPS = ("both from the shelf", "one from the shelf", "woods of the tables")
_AIMS = {"light": "weight", "stiff": "movement", "strong": "use", "easy to lift": "lift"}


@frozen
class _Pairs:
    """Pairs of candidates and their figures."""

    inner: list[Candidate]
    outer: list[Candidate]
    found: Found
    rank: Array
    """of bonding, easiest 0; nan where the list does not name one of the two"""
    group: Array
    """index in `_GROUPS`"""

    def take(self, index: Sequence[int] | Index) -> _Pairs:
        index = np.asarray(index, dtype=np.intp)
        values: dict[str, Any] = {
            k: getattr(self.found, k)[index] for k in Found.__dataclass_fields__ if k not in NAMES
        }
        return _Pairs(
            inner=[self.inner[i] for i in index],
            outer=[self.outer[i] for i in index],
            found=Found(checks=self.found.checks, rules=self.found.rules, **values),
            rank=self.rank[index],
            group=self.group[index],
        )


class _Search:
    """One shaft and what is asked of it."""

    def __init__(self, asked: Asked) -> None:
        self.asked = asked
        self.reading, self.built, self.doc = ready(asked)
        self.shaft: Shaft = two_woods(self.reading, self.built)
        self.system: System = asked.system or self.reading.system
        self.shelf = on_shelf(asked)
        self.estimate = asked.word("lacking") == "estimate"
        self.glued = glued(self.shaft)
        self.jointed = bool(self.shaft.joints)
        self.lifted = isinstance(self.shaft.rig, OnePiece)
        self.blade_follows = "oar.blade_weight" not in self.reading.entries

    def pairs(self, inner: Sequence[Candidate], outer: Sequence[Candidate], *, refine: bool = False) -> _Pairs:
        """Return the figures of each pair, in step."""
        stocks = [stock_of(c, p.slope) for c, p in zip((inner, outer), self.shaft.pieces, strict=True)]
        own = number(self.built.own)
        f = found(
            len(inner),
            lambda i: beam_of(self.shaft, own, [k.take(i) for k in stocks], blade_follows=self.blade_follows),
            refine=refine,
            tick=self.asked.tick,
        )
        rank = np.array([bonding(a, b)[1] for a, b in zip(inner, outer, strict=True)])
        shelf = np.array([[c.plank is not None for c in pair] for pair in zip(inner, outer, strict=True)])
        return _Pairs(inner=list(inner), outer=list(outer), found=f, rank=rank, group=2.0 - shelf.sum(axis=-1))

    def complete(self, p: _Pairs) -> Bools:
        """Return whether everything that a pair needs was checked."""
        return p.found.complete & (~np.isnan(p.rank) if self.glued else True) & ~np.isnan(p.found.movement)

    def criteria(self, p: _Pairs) -> Array:
        """Return what pairs are compared by, less is better, (n, k)."""
        f = p.found
        there = [k for k in range(len(PARTS)) if not np.isnan(f.use[:, k]).all()]
        columns = [*(f.use[:, k] for k in there), f.mass, f.movement]
        if self.lifted:
            columns.append(np.abs(f.lift))
        if self.glued:
            columns.append(p.rank)
        return np.stack(columns, axis=-1)

    def aim(self, p: _Pairs) -> Array:
        """Return the figure that is sought to be small."""
        f = p.found
        return {"light": f.mass, "stiff": f.movement, "strong": f.worst, "easy to lift": np.abs(f.lift)}[
            self.asked.word("aim")
        ]


def _table_woods(s: _Search) -> list[Candidate]:
    """Return the woods of the tables that were asked for."""
    told = s.asked.word("woods")
    if told:
        chosen = [n.strip() for n in told.split(";") if n.strip()]
        return [named(n, s.doc, (), estimate=s.estimate) for n in chosen]
    if s.asked.word("table_woods") == "none":
        return []
    cards = [find(n) for n in names()]
    return [of_table(c, estimate=s.estimate) for c in cards if not c.members]


def _screen(s: _Search, woods: list[Candidate]) -> tuple[list[Candidate], list[Candidate], int]:
    """Return the woods worth trying inboard and outboard, each first tried with the file's own other wood.

    The last is how many woods lack a value or a class of bonding in both places.
    """
    mine = [named(str(t["of"]), s.doc, (), estimate="lacking_values" in t) for t in s.doc["wood"]]
    out: list[list[Candidate]] = []
    known_somewhere = np.zeros(len(woods), dtype=bool)
    for place, part in ((0, 0), (1, 2)):
        with_mine = [mine[1 - place]] * len(woods)
        f = s.pairs(*((woods, with_mine) if place == 0 else (with_mine, woods))).found
        use = f.use[:, part]
        rank = np.array([BONDING.index(w.bonding) if w.bonding else np.nan for w in woods]) if s.glued else 0.0 * use
        known = f.known[:, part] & f.known[:, 1] & ~np.isnan(rank)
        known_somewhere |= known
        good = known & (use <= 1.0)
        worth = np.stack(
            [use, *(np.array([float(v(w)) for w in woods]) for v in (_gravity, _softness)), rank], axis=-1
        )[good]
        kept = np.flatnonzero(good)[~dominated(worth, np.ones(len(worth), dtype=bool))]
        out.append([woods[i] for i in kept])
    return out[0], out[1], int((~known_somewhere).sum())


def _gravity(c: Candidate) -> Array:
    return c.wood.gravity


def _softness(c: Candidate) -> Array:
    return -c.wood.dry.stiffness


def _ask(asked: Asked) -> Finding:
    s = _Search(asked)
    shelf = s.shelf
    reach = places(s.shaft)
    left_out: list[tuple[str, str]] = []
    at: tuple[list[Candidate], list[Candidate]] = ([], [])
    for plank in shelf:
        against, missing = lacks_of(plank)
        if against or missing:
            why = "; ".join(against) if against else f"not judged yet: {', '.join(missing)}"
            left_out.append((plank.name, why))
            continue
        for side, span, where in zip(at, reach, ("inboard", "outboard"), strict=True):
            small = too_small(plank, s.shaft, span)
            if small:
                left_out.append((plank.name, f"{where}: {small}"))
            else:
                side.append(of_plank(plank))
    woods = _table_woods(s)
    inner, outer, poor = woods, woods, 0
    screened = bool(woods) and asked.word("table_woods") == "screened" and not asked.word("woods")
    if screened:
        inner, outer, poor = _screen(s, woods)
    grid = [
        (a, b)
        for a in (*at[0], *inner)
        for b in (*at[1], *outer)
        if a.plank is None or b.plank is None or a.plank is not b.plank
    ]
    other = _against(s, shelf)
    if not grid:
        wrong = "no wood is left to pair" if woods or shelf else "nothing to pair: no plank, and no woods of the tables"
        raise InputError(s.reading.name, [Fault("woods", wrong, "name some, or write [[plank]] tables")])
    p = s.pairs([a for a, _ in grid], [b for _, b in grid])
    complete, holds = s.complete(p), p.found.holds & s.complete(p)
    short = _shortlist(s, p, holds)
    close = s.pairs([p.inner[i] for i in short], [p.outer[i] for i in short], refine=True) if len(short) else p.take([])
    good = np.flatnonzero(close.found.holds & s.complete(close))
    best = [k for g in range(3) if (k := _best(s, close, good[close.group[good] == g])) is not None]
    mine = s.pairs([other[0]], [other[1]], refine=True)
    counts = {
        "tried": len(grid),
        "hold": int(holds.sum()),
        "fall_short": int((~(p.found.worst <= 1.0)).sum()),
        "not_settled": int((~complete & (p.found.worst <= 1.0)).sum()),
        "woods_that_lack": poor,
    }
    return _finding(s, close, good, best, mine, counts, left_out, p, screened)


def _against(s: _Search, shelf: Any) -> tuple[Candidate, Candidate]:
    told = s.asked.word("against")
    if not told:
        a, b = s.doc["wood"]
        return (
            named(str(a["of"]), s.doc, shelf, estimate="lacking_values" in a),
            named(str(b["of"]), s.doc, shelf, estimate="lacking_values" in b),
        )
    parts = [n.strip() for n in told.split(";")]
    if len(parts) != 2:
        fault = Fault("against", f"'{told}' is not two woods", "write the inner; the outer")
        raise InputError("which-woods", [fault])
    return named(parts[0], s.doc, shelf, estimate=s.estimate), named(parts[1], s.doc, shelf, estimate=s.estimate)


def _shortlist(s: _Search, p: _Pairs, holds: Bools) -> list[int]:
    """Return the pairs to look at closely: those that hold and that nothing of their group beats, best aim first."""
    aim = s.aim(p)
    out: list[int] = []
    for g in range(3):
        index = np.flatnonzero(holds & (p.group == g))
        if not len(index):
            continue
        kept = index[~dominated(s.criteria(p)[index], np.ones(len(index), dtype=bool))]
        out += [int(i) for i in kept[np.argsort(aim[kept], kind="stable")][:_SHORT]]
    return out


def _best(s: _Search, p: _Pairs, index: Index) -> int | None:
    """Return the pair of the best aim; of those that tie with it, the least used."""
    if not len(index):
        return None
    aim = s.aim(p)
    ties = index[aim[index] <= aim[index].min() * (1.0 + TIE)]
    return int(ties[np.argmin(p.found.worst[ties])])


# ------------------------------------------------------------------------------------------------------------ words


def _row(s: _Search, p: _Pairs, i: int) -> tuple[str, ...]:
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


def _heads(s: _Search) -> tuple[str, ...]:
    heads = ["inboard + outboard", "used in"]
    heads += ["at joint", "used out"] if s.jointed else ["used out"]
    heads += ["weight", "balance", "hand lifts", "blade moves"] if s.lifted else ["weight", "balance", "blade moves"]
    return tuple(heads + (["bonds"] if s.glued else []))


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


def _gains(s: _Search, p: _Pairs, i: int, mine: _Pairs) -> tuple[tuple[str, str], ...]:
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


def _sentence(s: _Search, p: _Pairs, best: list[int], mine: _Pairs, counts: dict[str, int], every: _Pairs) -> str:
    if not best:
        f = every.found
        ok = np.flatnonzero(s.complete(every))
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
        return f"No pair of the {counts['tried']} tried holds in this shaft.{near} It needs thicker sections first."
    k = best[0]
    where = _GROUPS[int(p.group[k])]
    f = p.found
    part = PARTS[int(np.nanargmax(f.use[k]))]
    aim = s.aim(p)
    ties = [i for i in range(len(aim)) if i != k and p.group[i] == p.group[k] and abs(aim[i] / aim[k] - 1.0) < TIE]
    said = (
        f"Inboard {p.inner[k].name}; outboard {p.outer[k].name} ({where}). It holds, used most "
        f"{'at the joint' if part == 'joint' else part} with {percent(f.worst[k], 'up')}, and weighs "
        f"{show(float(f.mass[k]), 'mass', s.system)}."
    )
    if len(s.shelf) > 1 and p.group[k] > 0:
        said = f"No two planks of the shelf hold together. {said}"
    gains = [f"{name} {value}" for name, value in _gains(s, p, k, mine) if "%" in value]
    other = f"{mine.inner[0].name} with {mine.outer[0].name}"
    said += f" Against {other}: {', '.join(gains) if gains else 'all within a tie'}."
    if ties:
        said += f" {len(ties)} more of its kind lie within 10 % in {_AIMS[s.asked.word('aim')]}."
    return said


def _record(s: _Search, p: _Pairs, i: int) -> dict[str, Any]:
    f = p.found
    return {
        "inboard": p.inner[i].name,
        "outboard": p.outer[i].name,
        "from": _GROUPS[int(p.group[i])],
        "holds": bool(f.holds[i] & s.complete(p)[i]),
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


def _finding(
    s: _Search,
    p: _Pairs,
    good: Index,
    best: list[int],
    mine: _Pairs,
    counts: dict[str, int],
    left_out: list[tuple[str, str]],
    every: _Pairs,
    screened: bool,
) -> Finding:
    aim = s.aim(p)
    tables = []
    numeric = tuple(i for i, h in enumerate(_heads(s)) if h not in ("inboard + outboard", "bonds"))
    for g, title in enumerate(_GROUPS):
        index = [int(i) for i in good if p.group[i] == g]
        index.sort(key=lambda i: (i not in best, aim[i]))
        if index:
            rows = tuple(_row(s, p, i) for i in index[:_SHOWN])
            more = f", {len(index) - _SHOWN} more in --json" if len(index) > _SHOWN else ""
            said = f"{title[0].upper()}{title[1:]}, that hold and that no other beats in everything{more}"
            tables.append(Table(title=said, heads=_heads(s), rows=rows, numeric=numeric))
    other = f"{mine.inner[0].name} with {mine.outer[0].name}"
    holds = bool(mine.found.holds[0] & s.complete(mine)[0])
    state = "holds" if holds else "falls short" if not mine.found.worst[0] <= 1.0 else "not settled"
    tables.append(Table(title=f"For comparison, {state}", heads=_heads(s), rows=(_row(s, mine, 0),), numeric=numeric))
    if best:
        heads = ("gain and loss", *(f"{p.inner[k].name} + {p.outer[k].name}" for k in best))
        columns = [_gains(s, p, k, mine) for k in best]
        rows = tuple((columns[0][r][0], *(c[r][1] for c in columns)) for r in range(len(columns[0])))
        tables.append(
            Table(
                title=f"Against {other}; under 10 % is a tie",
                heads=heads,
                rows=rows,
                numeric=tuple(range(1, len(heads))),
            )
        )
    if left_out:
        tables.append(
            Table(title="Planks left out, of one part or of both", heads=("plank", "why"), rows=tuple(left_out))
        )
    searched = [
        f"{counts['tried']} pairs: {counts['hold']} hold, {counts['fall_short']} fall short, {counts['not_settled']} "
        "are not settled because a value of a wood or its bonding is not known; those never win nor rule out another",
        f"of those that hold, first by {_AIMS[s.asked.word('aim')]}; within 10 % of that, the least used; the first "
        f"{_SHORT} of each kind that no other beats were looked at as closely as a check does",
    ]
    if screened:
        searched.append(
            f"{counts['woods_that_lack']} woods of the tables lack a value or a class of bonding and were not paired"
        )
        searched.append(
            "woods of the tables were first tried each with the file's other wood; those that fall short there, or "
            "that another beats in use, weight, stiffness and bonding at that place, were not paired either "
            "(--table-woods all pairs them all)"
        )
    return Finding(
        question="which-woods",
        title=s.reading.title or s.reading.name,
        sentence=_sentence(s, p, best, mine, counts, every),
        answered=bool(best),
        system=s.system,
        tables=tuple(tables),
        pictures=(_picture(s, p, good, best, mine),),
        data={
            "pairs": [_record(s, p, int(i)) for i in good],
            "best": [_record(s, p, k) for k in best],
            "against": _record(s, mine, 0),
            "counts": counts,
            "left_out": [{"plank": n, "why": w} for n, w in left_out],
        },
        searched=tuple(searched),
        assumptions=(
            *(say(a, s.system) for a in s.built.assumptions),
            f"one basis for all weights: specific gravity at 12 %, moisture in use {_moistures(s)}",
            "a plank's strengths are its wood's, lowered where it is lighter or softer, never raised (the relation "
            "among woods, Wood Handbook Table 5-11a, from memory, taken within a wood)",
        ),
        cautions=("Planks of one wood differ more than woods of one kind do: weigh and bend the one you build of.",),
        winners=tuple(_winner(s, p, k) for k in best),
    )


def _moistures(s: _Search) -> str:
    told = dict.fromkeys(float(p.moisture) for p in s.shaft.pieces)
    return " and ".join(percent(m, digits=3) for m in told)


def _winner(s: _Search, p: _Pairs, k: int) -> Winner:
    a, b = p.inner[k], p.outer[k]
    f = p.found
    uses: dict[str, float] = {}
    for check, use in zip(f.checks, f.by_check[k], strict=True):
        uses[check] = max(float(use), uses.get(check, -np.inf))
    label = f"{a.name} with {b.name}"
    title = f"{s.reading.title or s.reading.name}: {label}"
    return Winner(label=label, doc=with_woods(s.doc, (a, b), title), uses=uses)


def _mark(p: _Pairs, k: int, scale: float, label: str) -> Mark:
    return Mark(x=float(p.found.mass[k] * scale), y=float(p.found.worst[k] * 100.0), label=label)


def _picture(s: _Search, p: _Pairs, good: Index, best: list[int], mine: _Pairs) -> Picture:
    f = p.found
    unit, per = axis("mass", s.system)
    scale = 1.0 / per
    curves = []
    for g, title in enumerate(_GROUPS):
        index = good[p.group[good] == g]
        if len(index):
            curves.append(Curve(label=title, x=f.mass[index] * scale, y=f.worst[index] * 100.0, points=True))
    names = [" + ".join(c.plank.short if c.plank else c.name for c in (p.inner[k], p.outer[k])) for k in best]
    marks = [_mark(p, k, scale, name) for k, name in zip(best, names, strict=True)]
    if np.isfinite(mine.found.worst[0]):
        marks.append(_mark(mine, 0, scale, "compared with"))
    return Picture(
        title="Pairs that hold and that no other beats: lighter to the left, more in hand below",
        says="Points of weight across and use upward for each pair that holds; the best of each group is named.",
        x_label=f"weight of the oar, {unit}",
        y_label="use of what governs, %",
        curves=tuple(curves),
        marks=tuple(marks),
        limit=100.0,
        limit_label="the limit",
    )


QUESTION = Question(
    asks="which two woods: what is on the shelf first, then the tables",
    ask=_ask,
    examples=(
        "which-woods my-oar.toml --shelf shelf.toml",
        'which-woods my-oar.toml --against "White ash; Sitka spruce (US)" --aim stiff',
        'which-woods my-oar.toml --woods "White ash; Sitka spruce (US); Black cherry" --plot woods.svg',
    ),
    options={
        "shelf": SHELF,
        "against": Key(
            kind="text",
            help="two woods or planks, inner; outer: gain and loss are told against them; the file's own if left out",
            example="White ash; Sitka spruce (US)",
            optional=True,
        ),
        "aim": Key(
            kind="choice",
            help="what is sought among the pairs that hold",
            example="light",
            choices=tuple(_AIMS),
            assume="light",
        ),
        "woods": Key(
            kind="text",
            help="woods of the tables to pair, told apart by semicolons",
            example="White ash; Sitka spruce (US)",
            optional=True,
        ),
        "table_woods": Key(
            kind="choice",
            help="which woods of the tables are paired where none are named",
            example="screened",
            choices=("screened", "all", "none"),
            assume="screened",
        ),
        "lacking": Key(
            kind="choice",
            help="fill values that a wood of the tables lacks by a published relation less its scatter",
            example="estimate",
            optional=True,
            choices=("estimate",),
        ),
    },
)
