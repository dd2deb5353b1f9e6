"""Which two woods? The planks on the shelf first, the woods of the tables second."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from shaftcheck.border.shown import System, say
from shaftcheck.border.wood_rows import BONDING
from shaftcheck.border.woods import find, names
from shaftcheck.errors import Fault, InputError
from shaftcheck.key import Key
from shaftcheck.model import Array, Bools, OnePiece, Shaft, number
from shaftcheck.questions._which_woods_words import (
    AIMS,
    NOT_JUDGED,
    TIE,
    Chosen,
    Pairs,
    data,
    picture,
    sentence,
    tables,
)
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
from shaftcheck.questions.question import Asked, Finding, Question, Winner, ready
from shaftcheck.said import percent
from shaftcheck.studies.woods import PARTS, Index, beam_of, dominated, found

__all__ = ["QUESTION"]

_SHORT = 24
"""pairs of each group that are looked at closely"""


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

    def pairs(self, inner: Sequence[Candidate], outer: Sequence[Candidate], *, refine: bool = False) -> Pairs:
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
        aims = {"light": f.mass, "stiff": f.movement, "strong": f.worst, "easy to lift": np.abs(f.lift)}
        return Pairs(
            inner=list(inner),
            outer=list(outer),
            found=f,
            rank=rank,
            group=2.0 - shelf.sum(axis=-1),
            settled=f.complete & (~np.isnan(rank) if self.glued else True) & ~np.isnan(f.movement),
            sought=aims[self.asked.word("aim")],
        )

    def criteria(self, p: Pairs) -> Array:
        """Return what pairs are compared by, less is better, (n, k)."""
        f = p.found
        there = [k for k in range(len(PARTS)) if not np.isnan(f.use[:, k]).all()]
        columns = [*(f.use[:, k] for k in there), f.mass, f.movement]
        if self.lifted:
            columns.append(np.abs(f.lift))
        if self.glued:
            columns.append(p.rank)
        return np.stack(columns, axis=-1)


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
            why = "; ".join(against) if against else f"{NOT_JUDGED}{', '.join(missing)}"
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
    holds = p.found.holds & p.settled
    short = _shortlist(s, p, holds)
    close = s.pairs([p.inner[i] for i in short], [p.outer[i] for i in short], refine=True) if len(short) else p.take([])
    good = np.flatnonzero(close.found.holds & close.settled)
    best = [k for g in range(3) if (k := _best(close, good[close.group[good] == g])) is not None]
    mine = s.pairs([other[0]], [other[1]], refine=True)
    counts = {
        "tried": len(grid),
        "hold": int(holds.sum()),
        "fall_short": int((~(p.found.worst <= 1.0)).sum()),
        "not_settled": int((~p.settled & (p.found.worst <= 1.0)).sum()),
        "woods_that_lack": poor,
    }
    chosen = Chosen(
        close=close,
        good=good,
        best=best,
        mine=mine,
        every=p,
        counts=counts,
        left_out=left_out,
        shelf=len(shelf),
        aim=asked.word("aim"),
        jointed=s.jointed,
        glued=s.glued,
        lifted=s.lifted,
        system=s.system,
    )
    return _finding(s, chosen, screened)


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


def _shortlist(s: _Search, p: Pairs, holds: Bools) -> list[int]:
    """Return the pairs to look at closely: those that hold and that nothing of their group beats, best aim first."""
    out: list[int] = []
    for g in range(3):
        index = np.flatnonzero(holds & (p.group == g))
        if not len(index):
            continue
        kept = index[~dominated(s.criteria(p)[index], np.ones(len(index), dtype=bool))]
        out += [int(i) for i in kept[np.argsort(p.sought[kept], kind="stable")][:_SHORT]]
    return out


def _best(p: Pairs, index: Index) -> int | None:
    """Return the pair of the best aim; of those that tie with it, the least used."""
    if not len(index):
        return None
    aim = p.sought[index]
    ties = index[aim <= aim.min() * (1.0 + TIE)]
    return int(ties[np.argmin(p.found.worst[ties])])


# ----------------------------------------------------------------------------------------------------------- finding


def _finding(s: _Search, chosen: Chosen, screened: bool) -> Finding:
    return Finding(
        question="which-woods",
        title=s.reading.title or s.reading.name,
        sentence=sentence(chosen),
        answered=bool(chosen.best),
        system=s.system,
        tables=tables(chosen),
        pictures=(picture(chosen),),
        data=data(chosen),
        searched=_searched(chosen, screened),
        assumptions=(
            *(say(a, s.system) for a in s.built.assumptions),
            f"one basis for all weights: specific gravity at 12 %, moisture in use {_moistures(s)}",
            "a plank's strengths are its wood's, lowered where it is lighter or softer, never raised (the relation "
            "among woods, Wood Handbook Table 5-11a, from memory, taken within a wood)",
        ),
        cautions=("Planks of one wood differ more than woods of one kind do: weigh and bend the one you build of.",),
        winners=tuple(_winner(s, chosen.close, k) for k in chosen.best),
    )


def _searched(chosen: Chosen, screened: bool) -> tuple[str, ...]:
    counts = chosen.counts
    searched = [
        f"{counts['tried']} pairs: {counts['hold']} hold, {counts['fall_short']} fall short, {counts['not_settled']} "
        "are not settled because a value of a wood or its bonding is not known; those never win nor rule out another",
        f"of those that hold, first by {AIMS[chosen.aim]}; within 10 % of that, the least used; the first "
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
    return tuple(searched)


def _moistures(s: _Search) -> str:
    told = dict.fromkeys(float(p.moisture) for p in s.shaft.pieces)
    return " and ".join(percent(m, digits=3) for m in told)


def _winner(s: _Search, p: Pairs, k: int) -> Winner:
    a, b = p.inner[k], p.outer[k]
    f = p.found
    uses: dict[str, float] = {}
    for check, use in zip(f.checks, f.by_check[k], strict=True):
        uses[check] = max(float(use), uses.get(check, -np.inf))
    label = f"{a.name} with {b.name}"
    title = f"{s.reading.title or s.reading.name}: {label}"
    return Winner(label=label, doc=with_woods(s.doc, (a, b), title), uses=uses)


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
            choices=tuple(AIMS),
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
