"""Pressed along the shaft, as in a push off: buckling of the tapered column, and crushing with bending."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import lru_cache
from itertools import pairwise

import numpy as np

from shaftcheck import sections
from shaftcheck.beam import Beam, Cut, events
from shaftcheck.checks.compare import Use, norm, plain_use, search_use
from shaftcheck.checks.member import bending_limit, exponent, fibre_parts
from shaftcheck.formula import Sym, formula
from shaftcheck.gauss import gauss
from shaftcheck.model import Array, Shaft
from shaftcheck.trace import blank, named, quiet, solved

__all__ = ["THRUST", "buckling_force", "crush", "pressed", "pressed_rows", "pushed", "thrust_use"]


THRUST = "(s_c/f_c)^2 + s_b/(f_b (1 - P/P_cr)) <= 1, NDS 3.9 (from memory)"


@formula(
    Sym("sigma_c", "Pa", "stress from axial force"),
    "Gere & Goodno, Mechanics of Materials, N / A (from memory)",
    N=Sym("N", "N", "axial force"),
    A=Sym("A", "m**2", "area", low=0.0),
)
def crush(*, N: Array, A: Array) -> Array:
    """Mean stress of an axial force, without its sign."""
    return np.abs(N) / A


_NODES, _WEIGHTS = gauss(8)
_POWERS = np.arange(8)
_INTEGRALS = (_NODES[:, None] ** (_POWERS + 1) - (-1.0) ** (_POWERS + 1)) / (_POWERS + 1)
_RUNNING = _INTEGRALS @ np.linalg.inv(_NODES[:, None] ** _POWERS)
"""turns values at a panel's Gauss points into the integral from the panel's start to each of them"""


def buckling_force(start: Array, end: Array, knots: list[Array], flexibility: Callable[[Array], Array]) -> Array:
    """Return the least force that buckles a column pinned at both ends [N], of the batch shape.

    EI(x) y'' + P y = 0, by inverse iteration (Stodola; Timoshenko & Gere, Theory of Elastic Stability, 2.15, from
    memory) with Rayleigh's quotient, on Gauss points of each smooth stretch.

    Parameters
    ----------
    start, end : (...) - the pinned ends [m]
    knots : each (...) - where EI may be unsmooth [m]
    flexibility : function of x (..., 1, points) that returns 1/EI [1/(N m2)]
    """
    inside = [np.clip(k, start, end) for k in knots]
    e = np.sort(np.stack(np.broadcast_arrays(start, end, *inside), axis=-1), axis=-1)
    # halve each stretch, so that a smooth one of full length is well met too
    e = np.sort(np.concatenate([e, (e[..., 1:] + e[..., :-1]) / 2.0], axis=-1), axis=-1)
    half, middle = (e[..., 1:] - e[..., :-1]) / 2.0, (e[..., 1:] + e[..., :-1]) / 2.0
    x = middle[..., None] + half[..., None] * _NODES
    flex = flexibility(x.reshape(*x.shape[:-2], 1, -1)).reshape(x.shape)
    w = half[..., None] * _WEIGHTS

    def running(f: Array) -> Array:
        whole = np.sum(f * w, axis=-1)
        before = np.cumsum(whole, axis=-1) - whole
        out: Array = before[..., None] + half[..., None] * (f @ _RUNNING.T)
        return out

    length = (end - start)[..., None, None]
    s = (x - start[..., None, None]) / length
    y = s * (1.0 - s)
    force = np.full(np.shape(start), np.nan)
    for _ in range(25):
        bend = y * flex
        turn = running(bend)
        down = running(turn)
        total = np.sum(turn * w, axis=(-2, -1))[..., None, None]
        new = s * total - down
        force = np.sum(y * bend * w, axis=(-2, -1)) / np.sum(new * bend * w, axis=(-2, -1))
        y = new / np.max(new, axis=(-2, -1), keepdims=True)
    return np.asarray(force)


_P_CR = Sym("P_cr", "N", "force that buckles the shaft")
_FROM = Sym("x_a", "m", "one pinned end, from the handle end")
_TO = Sym("x_b", "m", "the other pinned end, from the handle end")
_STIFF = Sym("E_b", "Pa", "buckling stiffness of the wood, the least of the pieces")
_COLUMN = (
    "least eigenvalue of E I y'' + P y = 0 for the tapered shaft pinned at both ends, E of each piece and the lesser "
    "I, or E I of a takedown where that is less, at 8 points of each half stretch; by inverse iteration"
)
_COLUMN_SOURCE = "Stodola; Timoshenko & Gere, Theory of Elastic Stability, 2.15 (from memory)"


def _turns(shaft: Shaft) -> list[Array]:
    """Return where depth and width are the same between two stations and the weaker way changes, each (...) [m]."""
    out = []
    for a, b in pairwise(shaft.stations):
        first, last = a.depth - a.width, b.depth - b.width
        part = np.where(first * last < 0.0, first / np.where(first == last, 1.0, first - last), 0.0)
        out.append(a.x + part * (b.x - a.x))
    return out


@lru_cache(maxsize=2)
def _critical(beam: Beam, ends: tuple[str, str], case: int) -> Array:
    shaft = beam.shaft

    def flexibility(x: Array) -> Array:
        section = sections.properties(*np.broadcast_arrays(*sections.at(x, shaft.stations)))
        e = 0.0 * x
        limits = beam.limits["buckling stiffness"]
        row = min(case, limits.shape[-2] - 1)
        for i, piece in enumerate(shaft.pieces):
            here = x >= piece.start[..., None, None] if i else np.ones(x.shape, dtype=bool)
            e = np.where(here, limits[..., row, i][..., None, None], e)
        flex = 1.0 / (e * np.minimum(section.second_flat, section.second_stroke))
        for joint in shaft.joints:
            flex = joint.flexibility(x, e, flex)
        return flex

    start, end = beam.place(ends[0]), beam.place(ends[1])
    knots = [*events(shaft), *_turns(shaft), *(x for joint in shaft.joints for x in joint.jumps)]
    with quiet():
        force = buckling_force(start, end, knots, flexibility)
    low = beam.limits["buckling stiffness"]
    e = low[..., min(case, low.shape[-2] - 1), :].min(axis=-1)
    return solved(force, _P_CR, _COLUMN, _COLUMN_SOURCE, {_FROM: start, _TO: end, _STIFF: e})


def pressed_rows(beam: Beam) -> tuple[tuple[int, ...], Array]:
    """Return which cases press the shaft along, and their push over the buckling force, (..., rows, 1)."""
    rows = tuple(i for i, c in enumerate(beam.cases) if c.column is not None)
    if not rows:
        return rows, np.zeros((1, 1))
    push, critical = _push(beam, rows)
    return rows, push / critical


def _push(beam: Beam, rows: tuple[int, ...]) -> tuple[Array, Array]:
    column = beam.cases[rows[0]].column
    assert column is not None
    push = np.abs(beam.along[..., list(rows), beam.places.index("tip")])[..., None]
    return push, _critical(beam, column, rows[0])[..., None, None]


_E = Sym("e", "", "push over the force that buckles")
_CRUSHED = Sym("c", "", "axial stress over what it may be")
_BENT = Sym("r_b", "", "bending stress over what it may be")


@formula(
    Sym("r_n", "", "room for bending beside the push"),
    f"{THRUST}, times 1 - P/P_cr, at loads times lambda",
    factor=Sym("lambda", "", "factor on the variable loads"),
    e=_E,
    c=_CRUSHED,
)
def thrust_room(*, factor: Array, e: Array, c: Array) -> Array:
    """What a push, and its buckling, leave for bending."""
    return (1 - factor * e) * (1 - (factor * c) ** 2)


@formula(
    Sym("D", "", "criterion, at most 1"),
    THRUST,
    r=_BENT,
    m=Sym("m_e", "", "what the push leaves, 1 - P/P_cr"),
    c=_CRUSHED,
)
def thrust_sum(*, r: Array, m: Array, c: Array) -> Array:
    """Crushing with bending that the push raises."""
    return c * c + r / m


@formula(
    Sym("D_P", "Pa", "demand of the variable loads, and what the push takes of the capacity"),
    f"{THRUST}, without crushing: (S + lambda D)/(1 - lambda P/P_cr) meets C where lambda (D + C P/P_cr) is C - S "
    "(derived)",
    D=Sym("D_v", "Pa", "demand of the variable loads", low=0.0),
    e=_E,
    C=Sym("C", "Pa", "capacity"),
)
def with_push(*, D: Array, e: Array, C: Array) -> Array:
    """Demand of what bends, where a push along the shaft raises it."""
    return D + e * C


@formula(
    Sym("D_e", "Pa", "demand, raised by the push"),
    THRUST,
    D=Sym("D_n", "Pa", "demand without the push", low=0.0),
    e=_E,
)
def raised_by_push(*, D: Array, e: Array) -> Array:
    """What bending asks where a push along the shaft raises it."""
    return D / (1 - e)


def pushed(beam: Beam, demand: Array, capacity: Array, still: Array) -> tuple[Array, Array]:
    """Return the use of what bending asks, and the demand, in the cases that press the shaft raised by the push.

    Parameters
    ----------
    demand, capacity, still : as of `plain_use`, (..., cases, points) [Pa]
    """
    rows, e = pressed_rows(beam)
    if not rows:
        return plain_use(demand, capacity, still), demand + still
    share = blank((*e.shape[:-2], len(beam.cases), 1))
    for k, row in enumerate(rows):
        share[..., row, :] += named(e[..., k, :], _E)
    asked = np.where(demand > 0.0, with_push(D=demand, e=share, C=capacity), demand)
    raised = raised_by_push(D=demand + still, e=np.minimum(share, 1.0 - 1e-9))
    return plain_use(asked, capacity, still), raised


def thrust_use(beam: Beam, stress: Callable[[Array], Array], limit: Array, crushed: Array) -> tuple[Array, Array]:
    """Return the use of bending raised by the push, and the criterion at the loads as they are.

    Parameters
    ----------
    stress : of a factor on the variable loads, (..., rows, points) for the cases of `pressed_rows` [Pa]
    limit : same shape - what it may be without a push [Pa]
    crushed : same shape - axial stress over its own limit [-]
    """
    _, e = pressed_rows(beam)
    crushed = named(crushed, _CRUSHED)

    def sides(factor: Array) -> tuple[Array, Array]:
        return thrust_room(factor=factor, e=e, c=crushed), named(stress(factor) / limit, _BENT)

    def left(factor: Array) -> Array:
        room, bent = sides(factor)
        return room - bent

    with np.errstate(divide="ignore"):
        bound = np.minimum(1.0 / e, 1.0 / crushed) + 0.0 * limit
    one = np.ones_like(bound)
    full = thrust_sum(r=named(stress(one) / limit, _BENT), m=np.maximum(1.0 - e, 1e-12), c=crushed)
    words = "searched for: room and bending are equal at this factor on the variable loads"
    return search_use(left, bound, words, THRUST, sides), full


def pressed(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Buckling under the push, and crushing with bending amplified by the push, for every case that presses.

    P_cr is from the low piece's stiffness over 1.66.
    """
    rows, _ = pressed_rows(beam)
    if not rows:
        return
    push, critical = _push(beam, rows)
    column = beam.cases[rows[0]].column
    assert column is not None
    yield Use(
        check="buckling",
        kind="buckles",
        x=(beam.place(column[0]) + beam.place(column[1]))[..., None, None] / 2.0,
        use=plain_use(push, critical),
        demand=push,
        capacity=critical + 0.0 * push,
        unit="N",
        source="eigenvalue of the tapered column pinned at both ends; stiffness of the low piece over 1.66 (NDS, from "
        "memory)",
        unknown="the stiffness of the wood",
        cases=rows,
    )
    q = exponent(cut.section)
    stroke, flat, still = (a[..., list(rows), :] for a in fibre_parts(cut))
    f_c = cut.limit("compression")[..., list(rows), :]
    use, demand = thrust_use(
        beam,
        lambda factor: norm(factor * stroke, still + factor * flat, q),
        bending_limit(beam, cut)[..., list(rows), :],
        crush(N=cut.axial[..., list(rows), :], A=cut.section.area) / f_c,
    )
    yield Use(
        check="bending with thrust",
        kind="breaks",
        x=cut.x,
        use=use,
        demand=demand,
        capacity=np.ones_like(demand),
        unit="",
        source=THRUST,
        unknown="a strength or the stiffness of the wood",
        cases=rows,
    )
