"""The lightest taper of ovals that holds: sizes in whole marks at some stations, within limits and floors.

The search goes down from sizes that hold, by whole marks, on runs of stations at once, then on single sizes, then by
exchange of two. Where it ends, no size can be one mark less, and no size one mark less with another one mark more is
lighter: that is tried, not assumed. That no wholly other taper is lighter is not proven.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from shaftcheck.beam import Beam
from shaftcheck.engine import Row, walk
from shaftcheck.frozen import frozen
from shaftcheck.loads import loaded
from shaftcheck.model import Array, Bools, Shaft, Station, number
from shaftcheck.studies.downhill import cells, descend, whole_marks
from shaftcheck.studies.forms import NOTHING, Ints, Rule, Task, fit, formed, kept, rules_of
from shaftcheck.studies.refit import refitted
from shaftcheck.whole import whole

__all__ = ["Binding", "Taper", "lightest", "shafts"]

_BLOCK = 64
"""shafts looked at together, lightest first"""

Tick = Callable[[int, int], None]


@frozen(eq=True)
class Binding:
    """What keeps one size from being a mark less."""

    station: int
    depth: bool
    """the fore-and-aft size, or the up-and-down one"""
    reason: str
    """a rule of form, or a check by name"""
    use: float
    """of that check at one mark less; nan for a rule [-]"""


@frozen
class Taper:
    """What was found."""

    marks: Ints
    """(stations, 2) depth and width [marks]"""
    holds: bool
    """whether all that is known has no more use than asked, within limits and floors"""
    known: bool
    """whether all is known"""
    uses: dict[str, Row]
    """arrays of shape ()"""
    mass: float
    """[kg]"""
    binding: tuple[Binding, ...]
    tried: int
    """shafts checked"""


def shafts(t: Task, marks: Ints | Array) -> tuple[Shaft, Bools]:
    """Return the shafts of some sizes, (n, stations, 2), as a batch, and where a joint does not fit them, (n,)."""
    none = np.zeros(len(marks))
    size = np.asarray(marks * t.mark, dtype=np.float64)
    sized = tuple(
        Station(
            x=number(x) + none,
            depth=size[:, i, 0],
            width=size[:, i, 1],
            exponent=number(2.0) + none,
            wall=number(np.inf) + none,
        )
        for i, x in enumerate(t.x)
    )
    shaft = replace(t.shaft, stations=(*t.before, *sized, *t.after))
    return refitted(shaft, none)


class _Judge:
    """Checks batches of sizes, and counts them."""

    def __init__(self, t: Task, tick: Tick | None) -> None:
        self.t, self.tick, self.count = t, tick, 0

    def rows(self, marks: Ints, rounds: int) -> dict[str, Row]:
        """Return every check of every one."""

        def build(i: Ints) -> Beam:
            return loaded(shafts(self.t, marks[i])[0], np.full(len(i), self.t.own))

        rows = walk((len(marks),), build, rounds=rounds)
        self.count += len(marks)
        if self.tick is not None:
            self.tick(self.count, self.count + 1)
        return rows

    def worst(self, marks: Ints, rounds: int = 0) -> Array:
        """Return the greatest known use of each; infinite where a joint does not fit, (n,)."""
        if not len(marks):
            return np.zeros(0)
        out: Array = np.zeros(len(marks))
        for row in self.rows(marks, rounds).values():
            out = np.fmax(out, row.use)
        return np.where(shafts(self.t, marks)[1], np.inf, out)

    def look(self, sizes: Array) -> tuple[Array, Array]:
        """Return mass and the uses of every cell for sizes that need not be whole, (n, sizes) [marks]."""
        shaft = shafts(self.t, sizes.reshape(len(sizes), -1, 2))[0]
        self.count += len(sizes)
        return whole(shaft).mass + np.zeros(len(sizes)), cells(loaded(shaft, np.full(len(sizes), self.t.own)))

    def good(self, marks: Ints, rounds: int = 0) -> Bools:
        """Return whether each has no more use than asked."""
        return np.asarray(self.worst(marks, rounds) <= self.t.target)


# ------------------------------------------------------------------------------------------------------------ search


def lightest(t: Task, tick: Tick | None = None) -> Taper | None:
    """Return the lightest taper that the search finds, and what binds each of its sizes.

    Where nothing holds, the largest sizes within the limits, not holding; None where no sizes keep the rules.
    """
    judge, rules = _Judge(t, tick), rules_of(t)
    largest = formed(t, rules, None)
    if largest is None:
        return None
    marks = _start(t, rules, judge, largest)
    if marks is None:
        return _result(t, judge, largest, binding=())
    marks = _lines(t, rules, judge, marks)
    while True:
        marks = _down(t, rules, judge, marks)
        swapped = _lighter(t, rules, judge, marks, _swaps(marks))
        if swapped is None:
            break
        marks = swapped
    found = _result(t, judge, marks, binding=_binding(t, rules, judge, marks))
    if tick is not None:
        tick(found.tried, found.tried)
    return found


def _lines(t: Task, rules: tuple[Rule, ...], judge: _Judge, marks: Ints) -> Ints:
    """Return the lightest sizes that hold of those that the way down proposes; the given ones where none do."""
    best, mass = marks, float(_mass(t, marks[None])[0])
    v = descend(t, rules, judge.look, marks)
    goal = t.target
    for _ in range(8):
        trial = whole_marks(t, rules, judge.look, v, goal)
        if trial is None:
            break
        if not fit(t, rules, trial[None])[0]:
            break
        use = float(judge.worst(trial[None], 2)[0])
        if use <= t.target:
            lighter = float(_mass(t, trial[None])[0])
            if not lighter < mass - NOTHING:
                break
            best, mass, goal = trial, lighter, t.target
        else:
            goal *= (t.target / use) ** 0.7
        v = trial.ravel().astype(np.float64)
    return best


def _start(t: Task, rules: tuple[Rule, ...], judge: _Judge, largest: Ints) -> Ints | None:
    """Return sizes that hold, part of the way from the floors to the largest; None where none were found."""
    low, high, best = 0.0, 1.0, None
    if judge.good(largest[None], 2)[0]:
        best = largest
    for part in (0.2, 0.4, 0.6, 0.8):
        if best is not None:
            break
        # more is not always better: a heavier oar weighs on itself
        trial = formed(t, rules, t.floor + part * (largest - t.floor))
        if trial is not None and judge.good(trial[None], 2)[0]:
            best, high = trial, part
    if best is None:
        return None
    for _ in range(6):
        middle = (low + high) / 2.0
        trial = formed(t, rules, t.floor + middle * (largest - t.floor))
        if trial is not None and judge.good(trial[None], 2)[0]:
            best, high = trial, middle
        else:
            low = middle
    return best


def _down(t: Task, rules: tuple[Rule, ...], judge: _Judge, marks: Ints) -> Ints:
    """Return what is left when no run of stations, and no single size, can be a mark less."""
    while True:
        lighter = _lighter(t, rules, judge, marks, _runs(marks))
        if lighter is None:
            return marks
        marks = lighter


def _lighter(t: Task, rules: tuple[Rule, ...], judge: _Judge, marks: Ints, moves: Iterator[Ints]) -> Ints | None:
    """Return the lightest of the moves that keep the rules, are lighter, and hold on a closer look; None if none."""
    trial = np.stack(list(moves))
    trial = trial[fit(t, rules, trial)]
    if not len(trial):
        return None
    mass = _mass(t, trial)
    order = np.argsort(mass, kind="stable")
    order = order[mass[order] < _mass(t, marks[None])[0] - NOTHING]
    for i in range(0, len(order), _BLOCK):
        block = trial[order[i : i + _BLOCK]]
        for k in np.flatnonzero(judge.good(block)):
            if judge.good(block[k : k + 1], 2)[0]:
                return np.asarray(block[k])
    return None


def _runs(marks: Ints) -> Iterator[Ints]:
    """Yield the sizes with a run of stations a mark smaller: in depth, in width, or in both."""
    n = len(marks)
    for i in range(n):
        for j in range(i + 1, n + 1):
            for which in ((0, 1), (0,), (1,)):
                new = marks.copy()
                for k in which:
                    new[i:j, k] -= 1
                yield new


def _singles(marks: Ints) -> Iterator[Ints]:
    """Yield the sizes with one of them a mark less."""
    for k in range(marks.size):
        new = marks.copy()
        new.reshape(-1)[k] -= 1
        yield new


def _swaps(marks: Ints) -> Iterator[Ints]:
    """Yield the sizes with one of them a mark less and another a mark more."""
    for k in range(marks.size):
        for m in range(marks.size):
            if m != k:
                new = marks.copy()
                new.reshape(-1)[k] -= 1
                new.reshape(-1)[m] += 1
                yield new


def _binding(t: Task, rules: tuple[Rule, ...], judge: _Judge, marks: Ints) -> tuple[Binding, ...]:
    """Return what keeps each size from being a mark less."""
    trial = np.stack(list(_singles(marks)))
    rows = judge.rows(trial, 2)
    misfit = shafts(t, trial)[1]
    out = []
    for k in range(len(trial)):
        station, depth = k // 2, k % 2 == 0
        broken = [r.name for r in rules if not kept(t, r, trial[k : k + 1])[0]]
        uses = {name: float(r.use[k]) for name, r in rows.items() if not np.isnan(r.use[k])}
        worst = max(uses, key=lambda name: uses[name])
        over = not uses[worst] <= t.target
        reason = worst if over else "a joint does not fit" if misfit[k] else broken[0] if broken else ""
        out.append(Binding(station=station, depth=depth, reason=reason, use=uses[worst] if over else float("nan")))
    return tuple(out)


def _result(t: Task, judge: _Judge, marks: Ints, *, binding: tuple[Binding, ...]) -> Taper:
    rows = judge.rows(marks[None], 2)
    one = {
        name: replace(r, **{k: getattr(r, k)[0] for k in ("use", "known", "case", "x", "demand", "capacity")})
        for name, r in rows.items()
    }
    fits = not shafts(t, marks[None])[1][0]
    return Taper(
        marks=marks,
        holds=fits and all(bool(r.use <= t.target) for r in one.values() if not np.isnan(r.use)),
        known=all(bool(r.known) for r in one.values()),
        uses=one,
        mass=float(_mass(t, marks[None])[0]),
        binding=binding,
        tried=judge.count,
    )


def _mass(t: Task, marks: Ints) -> Array:
    return np.asarray(whole(shafts(t, marks)[0]).mass + np.zeros(len(marks)))
