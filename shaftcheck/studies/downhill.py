"""The way down to the lightest sizes: weight and uses taken as straight lines near where one is, step by step.

Sequential linear programming (Griffith and Stewart, Management Science 7 (1961) 379-392, from memory) with a trust
region, then whole marks by mixed-integer linear programming on the same lines. What comes out is a proposal: whoever
calls checks it as it is.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from shaftcheck.beam import Beam, mesh
from shaftcheck.checks import CHECKS
from shaftcheck.model import Array
from shaftcheck.studies.forms import Ints, Rule, Task, scaled

__all__ = ["cells", "descend", "whole_marks"]

_MOST = 1e3
"""a use beyond this is as bad as this: lines need numbers"""
_STEP = 0.25
"""how far sizes are moved to see what that does [marks]"""

Look = Callable[[Array], tuple[Array, Array]]
"""of sizes (n, sizes) in marks, any numbers: mass (n,) [kg] and uses (n, cells)"""


def cells(beam: Beam, points: int = 9) -> Array:
    """Return the greatest known use of each comparison in each panel of the shaft, (n, cells); 0 where none is known.

    A comparison at points of its own is one cell.
    """
    x = mesh(beam.shaft, points)
    cut = beam.at(x)
    batch = beam.centre.shape[:-1]
    out = []
    for check in CHECKS:
        for u in check(beam, cut):
            use = np.nan_to_num(np.minimum(u.use, _MOST), nan=0.0)
            use = np.broadcast_to(use, (*batch, *use.shape[-2:])).max(axis=-2)
            width = points if use.shape[-1] == x.shape[-1] else use.shape[-1]
            out.append(use.reshape(*batch, -1, width).max(axis=-1))
    return np.concatenate(out, axis=-1)


def _lines(look: Look, v: Array) -> tuple[float, Array, Array, Array]:
    """Return mass and its slope, and the logarithm of the uses that count and its slope, at some sizes."""
    n = len(v)
    mass, use = look(np.concatenate([v[None], v[None] + _STEP * np.eye(n)]))
    counts = use.max(axis=0) > 0.3 * use.max()
    value = np.log(np.maximum(use[:, counts], 1e-6))
    return float(mass[0]), (mass[1:] - mass[0]) / _STEP, value[0], (value[1:] - value[0]).T / _STEP


def descend(t: Task, rules: tuple[Rule, ...], look: Look, marks: Ints, steps: int = 16) -> Array:
    """Return sizes, not whole, to which the lines lead from some that keep the rules, (sizes,) [marks].

    Parameters
    ----------
    marks : (stations, 2) - where to start
    """
    from scipy.optimize import linprog

    rows, low, high = scaled(t, rules)
    v = marks.ravel().astype(np.float64)
    n, reach, goal = len(v), 6.0, np.log(t.target)
    best, merit = v, np.inf
    for _ in range(steps):
        mass, slope, use, turn = _lines(look, v)
        # what passes the limit costs so much that it pays in no size
        price = 20.0 * np.abs(slope).max()
        here = mass + price * max(float(use.max()) - goal, 0.0) * n
        if here < merit - 1e-9:
            best, merit = v, here
        elif reach < 0.2:
            break
        else:
            reach /= 2.0
            v = best
            mass, slope, use, turn = _lines(look, v)
        sides = (np.isfinite(high), np.isfinite(low))
        a = np.concatenate([rows[sides[0]], -rows[sides[1]]])
        b = np.concatenate([high[sides[0]], -low[sides[1]]])
        # one more unknown: by how much the uses may pass the limit together
        upper = np.concatenate([np.c_[a, np.zeros(len(a))], np.c_[turn, -np.ones(len(turn))]])
        bound = np.concatenate([b, goal - use + turn @ v])
        ends = [*((x - reach, x + reach) for x in v), (0.0, None)]
        found = linprog(np.r_[slope, price * n], A_ub=upper, b_ub=bound, bounds=ends)
        if found.x is None:
            break
        v = np.asarray(found.x[:-1])
    return best


def whole_marks(t: Task, rules: tuple[Rule, ...], look: Look, v: Array, goal: float, reach: float = 3.0) -> Ints | None:
    """Return the lightest whole sizes near some, on the lines there; None where there are none.

    Parameters
    ----------
    v : (sizes,) - where the lines touch [marks]
    goal : greatest use on the lines [-]
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    _, slope, use, turn = _lines(look, v)
    rows, low, high = scaled(t, rules)
    found = milp(
        slope,
        integrality=np.ones(len(v), dtype=np.int_),
        bounds=Bounds(np.floor(v - reach), np.ceil(v + reach)),
        constraints=[
            LinearConstraint(rows, low, high),
            LinearConstraint(turn, -np.inf, np.log(goal) - use + turn @ v),
        ],
        options={"time_limit": 5.0, "mip_rel_gap": 2e-4},
    )
    return None if found.x is None else np.round(found.x).astype(np.int_).reshape(-1, 2)
