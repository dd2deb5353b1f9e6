"""From what was read to the shaft to show: unknown inputs are tried at all that they may be."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import fields, replace
from itertools import pairwise
from typing import Any

import numpy as np

from shaftcheck import engine
from shaftcheck.border.assemble import Built
from shaftcheck.border.shaftfile import Entry, Reading, Value
from shaftcheck.border.shown import System, show
from shaftcheck.errors import Fault, InputError
from shaftcheck.frozen import frozen
from shaftcheck.key import DIMENSION_OF
from shaftcheck.loads import loaded
from shaftcheck.measured import NOTHING, Lower, as_measured, lower
from shaftcheck.model import Flaw, Joint, Shaft, number, stack
from shaftcheck.outcome import Unknown
from shaftcheck.places import longest_step
from shaftcheck.said import Side
from shaftcheck.sections import STEEP, slope

__all__ = ["Settled", "Tick", "every", "settle"]

MOST = 2048
"""combinations of unknown inputs that are tried at most"""
MOST_PLACES = 257
"""values of one place that are tried at most: steps of 1 mm over a quarter of a metre, in two blocks of shafts"""
CLOSE = 0.97
"""use from which a shaft is looked at as closely as an answer is: a mesh alone is off by some thousandths [-]"""
NEARLY = 0.97
"""part of a slope of 1:6 from which a shoulder is just short of it (judgement) [-]"""
Tick = Callable[[int, int], None]


@frozen(kw_only=False)
class Settled:
    """The shaft to show, the verdict where unknown inputs change it, and what each of them does to it."""

    built: Built
    state: str | None = None
    unknowns: tuple[Unknown, ...] = ()
    words: str = ""
    hangs: str = ""
    """what it hangs on, within a sentence"""
    measure: str = ""
    """what to find out next, within a sentence"""
    lowered: Lower = NOTHING
    """by what was measured of the oar"""
    reading: Reading | None = None
    """with all values at which an unknown place was tried; none where that is as it was read"""


def settle(
    reading: Reading, tick: Tick | None, before: Lower = NOTHING, remade: Callable[[Built], Built] | None = None
) -> Settled:
    """Return the shaft of what was read, over all that its unknown inputs may be.

    Parameters
    ----------
    before : what was measured of the oar that it is made of
    remade : what is made of the shaft, if that is what is asked for

    Raises
    ------
    InputError
        with every fault of it, at any value that is tried.
    """
    told: dict[str, Value] = {e.path: e.value for e in reading.entries.values() if e.value is not None}
    open_ = [e for e in reading.entries.values() if e.options]
    if reading.faults or not open_:
        one, told_of_it = as_measured(reading, told | {e.path: e.options[0] for e in open_})
        one = lower(one, before)
        return Settled(one if remade is None else remade(one), lowered=told_of_it)
    open_, steps = _in_steps(reading, told, open_)
    whole = replace(reading, entries={**reading.entries, **{e.path: e for e in open_}})
    open_, chosen, both = _every(reading, told, open_, steps)
    gaps = "; ".join(_gap(e, steps[e.path], reading) for e in open_ if _too_far(e, steps))
    built = [lower(b, before) for b, _ in both]
    if remade is not None:
        built = [remade(b) for b in built]
    lowered = max((found for _, found in both), key=lambda found: found.divisor)
    state, worst = _evaluate(built, tick)
    unknowns = _each(open_, chosen, state, reading)
    tried = f"{len(chosen)} combinations of what is unknown were tried, the ends of each range among them"
    tried += f"; {gaps}" if gaps else ""
    shaft = built[int(np.argmax(worst))]
    nouns = " and the ".join(_noun(e, reading) for e in open_)
    whatever = f"whatever the {nouns} {'is' if len(open_) == 1 else 'are'}"
    ends = [e for e in open_ if not isinstance(e.options[0], str) and len(e.options) == 2]
    if ends and (state == 1).all():
        said = f"Holds at the ends of every range: too many are unknown to try what lies between them ({tried})."
        first = ends[0]
        hangs_on = f"it hangs on the {nouns}, tried at the ends of their ranges alone"
        return Settled(shaft, "NOT SETTLED", unknowns, said, hangs_on, f"the {_noun(first, reading)}", lowered, whole)
    if gaps and (state == 1).all():
        said = f"Holds at all that was tried, and between that a short weak place may be missed: {tried}."
        first = next(e for e in open_ if _too_far(e, steps))
        hangs_on = f"it hangs on the {nouns}, tried at places too far apart"
        return Settled(shaft, "NOT SETTLED", unknowns, said, hangs_on, f"the {_noun(first, reading)}", lowered, whole)
    if (state == 1).all() and _over_a_shoulder([b.shaft for b in built]):
        said = f"Holds at all that was tried, but not just short of a shoulder of 1:6, where most is asked: {tried}."
        first = next((e for e in open_ if e.key.kind == "length"), open_[0])
        hangs_on = f"it hangs on the {nouns}, tried on both sides of a shoulder of 1:6 and not just short of it"
        return Settled(shaft, "NOT SETTLED", unknowns, said, hangs_on, f"the {_noun(first, reading)}", lowered, whole)
    for verdict, words in ((1, "Holds"), (-1, "Falls short"), (0, "Not settled")):
        if (state == verdict).all():
            return Settled(shaft, None, unknowns, f"{words} whatever it is: {tried}.", whatever, "", lowered, whole)
    best = max(unknowns, key=lambda u: u.settles)
    ifs = "; ".join(u.words for u in unknowns)
    words = f"{ifs[0].upper()}{ifs[1:]}. Measure next: {best.path}, {best.help} ({tried})."
    hangs = [f"it {u.words}" for u in unknowns if u.words.startswith("holds")] or [f"it hangs on the {nouns}"]
    return Settled(shaft, "NOT SETTLED", unknowns, words, ", or ".join(hangs[:2]), f"the {best.noun}", lowered, whole)


def every(reading: Reading, before: Lower = NOTHING) -> list[Built]:
    """Return a shaft for each combination of unknown inputs that is tried, one where nothing is unknown.

    Raises
    ------
    InputError
        as `settle`.
    """
    told: dict[str, Value] = {e.path: e.value for e in reading.entries.values() if e.value is not None}
    open_ = [e for e in reading.entries.values() if e.options]
    _, _, both = _every(reading, told, *_in_steps(reading, told, open_))
    return [lower(b, before) for b, _ in both]


def _every(
    reading: Reading, told: dict[str, Value], open_: list[Entry], places: Collection[str]
) -> tuple[list[Entry], list[tuple[int, ...]], list[tuple[Built, Lower]]]:
    """Return unknown inputs with the values that are tried, each combination, and the shafts of these."""
    open_ = _thinned(reading, open_, places)
    chosen = list(itertools.product(*(range(len(e.options)) for e in open_)))
    return open_, chosen, _assembled(reading, [{**told, **_picked(open_, c)} for c in chosen])


def _assembled(reading: Reading, values: Sequence[Mapping[str, Value]]) -> list[tuple[Built, Lower]]:
    """Return the shafts of many values.

    Raises
    ------
    InputError
        with the faults of all of them.
    """
    built: list[tuple[Built, Lower]] = []
    faults: dict[Fault, None] = {}
    for each in values:
        try:
            built.append(as_measured(reading, each))
        except InputError as e:
            faults |= dict.fromkeys(e.faults)
    if faults:
        raise InputError(reading.name, tuple(faults))
    return built


def _picked(open_: Sequence[Entry], index: Sequence[int]) -> dict[str, Value]:
    return {e.path: e.options[i] for e, i in zip(open_, index, strict=True)}


def _in_steps(reading: Reading, told: dict[str, Value], open_: Sequence[Entry]) -> tuple[list[Entry], dict[str, float]]:
    """Return the unknown inputs, places with steps so short that no short part between them is missed, and the steps.

    Returns
    -------
    the inputs; by path of those that move a place, how far apart its values may lie [m]

    Raises
    ------
    InputError
        with every fault at the ends of each.
    """
    out, steps = [], {}
    first = {e.path: e.options[0] for e in open_}
    faults: dict[Fault, None] = {}
    for e in open_:
        step = math.inf
        if e.key.kind == "length":
            try:
                ends = _assembled(reading, [told | first | {e.path: e.options[k]} for k in (0, -1)])
                step = longest_step(*(b.shaft for b, _ in ends))
            except InputError as err:
                faults |= dict.fromkeys(err.faults)
        if step < math.inf:
            steps[e.path] = step
            low, high = float(e.options[0]), float(e.options[-1])
            count = min(math.ceil((high - low) / step - 1e-9) + 1, MOST_PLACES)
            if count > len(e.options):
                e = replace(e, options=tuple(float(v) for v in np.linspace(low, high, count)))
        out.append(e)
    if faults:
        raise InputError(reading.name, tuple(faults))
    return out, steps


def _over_a_shoulder(shafts: Sequence[Shaft]) -> bool:
    """Return whether shafts lie on both sides of a shoulder of 1:6 and none of them just short of it.

    There the use is greatest: up to 1:6 the fibres run out, steeper the smaller section is taken.
    """
    falls = np.array([[float(slope(a, b)) for a, b in pairwise(s.stations)] for s in shafts])
    milder = np.where(falls <= STEEP, falls, 0.0).max(axis=0)
    both = (falls > STEEP).any(axis=0) & (falls <= STEEP).any(axis=0)
    return bool(np.any(both & (milder < NEARLY * STEEP)))


def _too_far(e: Entry, steps: Mapping[str, float]) -> bool:
    """Return whether values of a place that are tried lie too far apart."""
    return float(e.options[1]) - float(e.options[0]) > steps[e.path] * 1.001 if e.path in steps else False


def _gap(e: Entry, step: float, reading: Reading) -> str:
    """Return between which places nothing was tried, in words."""
    one, other = (show(float(v), "length", reading.system) for v in e.options[:2])
    last = show(float(e.options[-1]), "length", reading.system)
    far = show(2.0 * step, "length", reading.system)
    return (
        f"of the {_noun(e, reading)} nothing was tried between {one} and {other}, and so on to {last}, while something "
        f"there is {far} long"
    )


def _thinned(reading: Reading, open_: list[Entry], places: Collection[str]) -> list[Entry]:
    """Return the unknown inputs with so few values of each range, ends in, that every combination can be tried.

    Places are thinned only where the rest at its ends alone is still too much.

    Raises
    ------
    InputError
        if there are too many of them even so.
    """
    for least, count in ((MOST_PLACES, 9), (MOST_PLACES, 5), (MOST_PLACES, 3), (9, 9), (5, 5), (3, 3), (2, 2)):
        thin = [
            e
            if isinstance(e.options[0], str)
            else replace(e, options=tuple(_spread(e.options, least if e.path in places else count)))
            for e in open_
        ]
        if math.prod(len(e.options) for e in thin) <= MOST:
            return thin
    ways = sorted((len(e.options) if isinstance(e.options[0], str) else 2 for e in open_), reverse=True)
    many = next(k for k in range(len(ways) + 1) if math.prod(ways[k:]) <= MOST)
    write = f"measure {'one' if many == 1 else f'{many} or more'} of them"
    fault = Fault(open_[-1].path, f"{len(open_)} inputs are unknown, too many to try all together", write)
    raise InputError(reading.name, [fault])


def _spread(options: Sequence[Value], count: int) -> list[Value]:
    last = len(options) - 1
    if last < count:
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
            use = np.stack([np.nan_to_num(r.use, nan=0.0, posinf=np.inf) for r in rows]).max(axis=0)
            ok, met = engine.holds(rows), use <= 1.0
            close = np.flatnonzero(met & (use >= CLOSE))
            if len(close):
                nearly = stack([built[block[i]].shaft for i in close])
                rows = engine.run(loaded(nearly, number(np.array([built[block[i]].own for i in close]))), rounds=2)
                use[close] = np.stack([np.nan_to_num(r.use, nan=0.0, posinf=np.inf) for r in rows]).max(axis=0)
                ok[close], met[close] = engine.holds(rows), use[close] <= 1.0
            state[block] = np.where(ok, 1, np.where(met, 0, -1))
            worst[block] = use
            done += len(block)
            if tick is not None:
                tick(done, len(built))
    return state, worst


def _noun(e: Entry, reading: Reading) -> str:
    """Return what an input is called in a sentence; of one of several sections, woods or joints, with its number."""
    table, *number, name = e.path.split(".")
    noun = e.key.noun or name.replace("_", " ")
    return f"{noun} of {table} {number[0]}" if number and reading.counts[table] > 1 else noun


def _each(
    open_: Sequence[Entry], chosen: Sequence[tuple[int, ...]], state: np.ndarray[Any, Any], reading: Reading
) -> tuple[Unknown, ...]:
    out = []
    index = np.array(chosen)
    for k, e in enumerate(open_):
        holds_at = [bool((state[index[:, k] == i] == 1).all()) for i in range(len(e.options))]
        fails_at = [bool((state[index[:, k] == i] == -1).all()) for i in range(len(e.options))]
        settled = [a or b for a, b in zip(holds_at, fails_at, strict=True)]
        good = [o for o, ok in zip(e.options, holds_at, strict=True) if ok]
        what = _noun(e, reading)
        if not good:
            words = f"no {what} alone settles that it holds"
        elif len(good) == len(e.options):
            words = f"holds whatever the {what} is"
        else:
            words = f"holds if the {what} is {_range(e, good, reading.system)}"
        out.append(Unknown(path=e.path, noun=what, help=e.key.help, words=words, settles=sum(settled) / len(settled)))
    return tuple(out)


def _range(e: Entry, good: Sequence[Value], system: System) -> str:
    if isinstance(good[0], str):
        return " or ".join(str(g) for g in good)
    numbers = [float(g) for g in good]
    whole_range = [float(o) for o in e.options]
    low, high = min(numbers), max(numbers)
    if sum(low <= o <= high for o in whole_range) != len(numbers):
        return " or ".join(_run(e, run, system) for run in _runs(whole_range, numbers))
    if low > whole_range[0] and high < whole_range[-1]:
        return f"{_size(e, low, system, 'up')} to {_size(e, high, system, 'down')}"
    first, last = (_size(e, v, system, "near") for v in (whole_range[0], whole_range[-1]))
    if low == whole_range[0]:
        way = "flatter" if e.key.kind == "slope" else "less"
        return f"{_size(e, high, system, 'down')} or {way} (tried to {first})"
    return f"{_size(e, low, system, 'up')} or {'steeper' if e.key.kind == 'slope' else 'more'} (tried to {last})"


def _runs(tried: Sequence[float], good: Sequence[float]) -> list[list[float]]:
    """Return the good values in runs within which all that was tried is good."""
    runs: list[list[float]] = [[]]
    for value in tried:
        if value in good:
            runs[-1].append(value)
        elif runs[-1]:
            runs.append([])
    return [run for run in runs if run]


def _run(e: Entry, run: Sequence[float], system: System) -> str:
    if len(run) < 3:
        return " or ".join(_size(e, v, system, "near") for v in run)
    return f"{_size(e, run[0], system, 'up')} to {_size(e, run[-1], system, 'down')}"


def _size(e: Entry, value: float, system: System, side: Side) -> str:
    dimension = DIMENSION_OF.get(e.key.kind)
    if dimension is not None:
        return show(value, dimension, system, side=side)
    step = 10.0 ** (math.floor(math.log10(value)) - 2) if value > 0.0 else 1.0
    marks = {"down": math.floor(value / step + 1e-9), "up": math.ceil(value / step - 1e-9), "near": round(value / step)}
    return f"{marks[side] * step:.0f}" if e.key.kind == "count" else f"{marks[side] * step:.3g}"
