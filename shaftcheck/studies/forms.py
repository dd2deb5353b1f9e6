"""The form of a taper: where its sizes are sought, and the rules that keep it fair and fit for use.

Sizes are whole marks. Every rule is linear in the sizes, so that sizes which keep them all are found exactly.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from shaftcheck.frozen import frozen
from shaftcheck.model import Array, Bools, Hinged, Shaft, Station, number

__all__ = ["GRIP", "NOTHING", "Ints", "Limits", "Rule", "Task", "fit", "formed", "kept", "rules_of", "scaled", "task"]

GRIP = 0.1
"""the grip reaches this far beyond the middle of the hand; its sections stay [m] (judgement)"""
_NEAR = 0.04
"""a station of the scale is left out this close to one that is there for its own reason [m]"""
NOTHING = 1e-9
"""rounding [m]"""

Ints = npt.NDArray[np.int_]


@frozen(eq=True)
class Limits:
    """What the builder allows, and floors against fragility, in SI."""

    most_depth: float
    most_width: float
    least_depth: float
    least_width: float
    neck_depth: float
    neck_width: float
    flattest: float
    """greatest depth over width [-]; of an oval this is the strong section modulus over the weak one"""
    steepest: float
    """how fast the surface may fall away, rise over run [-]"""
    kink: float
    """how much that may change at a station [-]"""


@frozen
class Task:
    """What is to be sized. Sizes are marks: whole multiples of `mark`."""

    shaft: Shaft
    """a single shaft, batch shape ()"""
    own: float
    target: float
    """greatest use that any check may have [-]"""
    mark: float
    """[m]"""
    x: Array
    """(stations,) where sizes are sought, rising [m]"""
    before: tuple[Station, ...]
    """the grip's sections, which stay"""
    after: tuple[Station, ...]
    """sections beyond the neck, which stay"""
    floor: Ints
    """(stations, 2) least depth and width [marks]"""
    cap: Ints
    """(stations, 2) most [marks]"""
    limits: Limits


def task(shaft: Shaft, *, own: float, target: float, mark: float, every: float, limits: Limits) -> Task:
    """Return the task: where sizes are sought, between the grip and the neck.

    Stations stand at whole multiples of `every`, at the lock or at both cradles' mouths, and at the neck.
    """
    rig, neck = shaft.rig, float(shaft.blade.neck)
    grip = float(rig.hand) + GRIP
    before = tuple(s for s in shaft.stations if float(s.x) <= grip)
    after = tuple(s for s in shaft.stations if float(s.x) > neck + NOTHING)
    ends = (rig.inner_from, rig.outer_to) if isinstance(rig, Hinged) else (rig.lock,)
    kept = [*(float(e) for e in ends), neck]
    low = max(grip, float(before[-1].x) + _NEAR)
    scale = every * np.arange(1, int(neck / every) + 1)
    marks = [float(m) for m in scale if low < m < neck - _NEAR and all(abs(m - k) > _NEAR for k in kept)]
    x = np.array(sorted([*(k for k in kept if k > low), *marks]))
    n = len(x)
    floor, cap = np.zeros((n, 2)), np.zeros((n, 2))
    floor[:] = limits.least_depth, limits.least_width
    floor[-1] = limits.neck_depth, limits.neck_width
    cap[:] = limits.most_depth, limits.most_width
    return Task(
        shaft=shaft,
        own=own,
        target=target,
        mark=mark,
        x=x,
        before=before,
        after=after,
        floor=np.ceil(floor / mark - 1e-6).astype(np.int_),
        cap=np.floor(cap / mark + 1e-6).astype(np.int_),
        limits=limits,
    )


@frozen
class Rule:
    """A rule of form: low <= rows @ sizes <= high, sizes as depth, width, depth, width, ... [m]."""

    name: str
    rows: Array
    """(rows, 2 stations)"""
    low: Array
    """(rows,)"""
    high: Array


def rules_of(t: Task) -> tuple[Rule, ...]:
    """Return every rule of form; all are linear in the sizes."""
    n, limits, rig, last = len(t.x), t.limits, t.shaft.rig, t.before[-1]
    unit = np.eye(2 * n)
    none, all_ = np.full(2 * n, -np.inf), np.full(2 * n, np.inf)
    x = np.concatenate([[float(last.x)], t.x])
    # how fast the surface rises over each span, the first from the grip: part @ sizes + given
    part, given = np.zeros((n, 2, 2 * n)), number(np.zeros((n, 2)))
    for i in range(n):
        for k, old in enumerate((float(last.depth), float(last.width))):
            run = 2.0 * (x[i + 1] - x[i])
            part[i, k, 2 * i + k] = 1.0 / run
            if i:
                part[i, k, 2 * (i - 1) + k] = -1.0 / run
            else:
                given[i, k] = -old / run
    rows, first = part.reshape(2 * n, -1), given.ravel()
    top = (float(rig.inner_from), float(rig.outer_to)) if isinstance(rig, Hinged) else (float(rig.lock),) * 2
    inboard, outboard = (np.repeat(v, 2) for v in (x[1:] <= top[0] + 1e-6, x[:-1] >= top[1] - 1e-6))
    bends = part[2:] - part[1:-1]
    bends = bends.reshape(-1, 2 * n)  # the grip's shoulder is a bend by its nature, and left out
    apart, flat = unit[0::2] - unit[1::2], unit[0::2] - limits.flattest * unit[1::2]
    zero = np.zeros(n)
    return (
        Rule(name="the least size", rows=unit, low=np.asarray(t.floor.ravel() * t.mark, dtype=np.float64), high=all_),
        Rule(name="the most size", rows=unit, low=none, high=np.asarray(t.cap.ravel() * t.mark, dtype=np.float64)),
        Rule(name="as deep as wide", rows=apart, low=zero, high=all_[:n]),
        Rule(name="the weak axis", rows=flat, low=none[:n], high=zero),
        Rule(
            name="no thinner towards the lock",
            rows=rows,
            low=number(np.where(inboard, -first, -np.inf)),
            high=number(np.where(outboard, -first, np.inf)),
        ),
        Rule(
            name="the surface's slope",
            rows=rows,
            low=number(-limits.steepest) - first,
            high=number(limits.steepest) - first,
        ),
        Rule(
            name="a fair curve",
            rows=bends,
            low=np.full(len(bends), -limits.kink),
            high=np.full(len(bends), limits.kink),
        ),
    )


def kept(t: Task, rule: Rule, marks: Ints) -> Bools:
    """Return whether sizes keep a rule; marks (n, stations, 2), result (n,)."""
    value = (marks.reshape(len(marks), -1) * t.mark) @ rule.rows.T
    return np.asarray(((value >= rule.low - NOTHING) & (value <= rule.high + NOTHING)).all(axis=1))


def fit(t: Task, rules: tuple[Rule, ...], marks: Ints) -> Bools:
    """Return whether sizes keep all rules; marks (n, stations, 2), result (n,)."""
    return np.asarray(np.logical_and.reduce([kept(t, rule, marks) for rule in rules]))


def scaled(t: Task, rules: tuple[Rule, ...]) -> tuple[Array, Array, Array]:
    """Return all rules as rows, low and high of the sizes in marks, each row of about one."""
    rows = np.concatenate([r.rows for r in rules]) * t.mark
    size = np.abs(rows).max(axis=1)
    low, high = (np.concatenate([getattr(r, k) for r in rules]) for k in ("low", "high"))
    return rows / size[:, None], low / size, high / size


def formed(t: Task, rules: tuple[Rule, ...], least: Array | None) -> Ints | None:
    """Return the smallest sizes that keep every rule and are not below `least`, or the largest; None if there are none.

    Whole marks, by mixed-integer linear programming: the sum of all sizes is least, or greatest.

    Parameters
    ----------
    least : (stations, 2) [marks]; None for the largest sizes
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    n = 2 * len(t.x)
    found = milp(
        np.ones(n) if least is not None else -np.ones(n),
        integrality=np.ones(n, dtype=np.int_),
        bounds=Bounds(np.zeros(n) if least is None else np.maximum(least.ravel(), 0.0), np.full(n, np.inf)),
        constraints=LinearConstraint(*scaled(t, rules)),
        options={"time_limit": 20.0, "mip_rel_gap": 1e-3},
    )
    return None if found.x is None else np.round(found.x).astype(np.int_).reshape(-1, 2)
