"""Comparisons of what is there with what may be there, and the use that follows.

*Use* is 1 over the factor on the variable loads at which the check is just met; permanent loads are not scaled. So
loads times (1 + margin), margin = 1/use - 1, land on the limit exactly. Capacity of zero or less is infinite use; nan
is 'not known'. Nothing here ever writes `use > 1`, which lets the unknown through.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from shaftcheck.formula import Sym, formula
from shaftcheck.frozen import frozen
from shaftcheck.model import Array, Bools, number
from shaftcheck.sections import power
from shaftcheck.trace import ANY, bare, quiet, solved

__all__ = [
    "BADLY_PLACED",
    "NOT_CHECKED",
    "Use",
    "bar_use",
    "norm",
    "norm_use",
    "plain_use",
    "search_use",
    "settled_use",
]


@frozen
class Use:
    """One comparison. Arrays broadcast to (..., cases, points); nan means not known."""

    check: str
    """its name, as declared in the registry"""
    kind: str
    """what happens where it fails: breaks, splits, dents, buckles, slips, wears out, is badly placed, is not checked"""
    x: Array
    """where [m]"""
    use: Array
    demand: Array
    """at the loads as they are, permanent ones in"""
    capacity: Array
    unit: str
    source: str
    unknown: str
    """what is missing where it is not known"""
    cases: tuple[int, ...] | None = None
    """which cases the cases axis stands for; None: all of them, or none in particular where its length is 1"""


NOT_CHECKED = "is not checked"
BADLY_PLACED = "is badly placed"


def settled_use(check: str, x: Array, open_: Bools, source: str, unknown: str) -> Use:
    """Return a condition that no formula compares: met where it is settled, and not checked where it is open.

    Parameters
    ----------
    x, open_ : (..., 1, 1) - where it is said to be [m]; whether it is open
    unknown : what would settle it
    """
    told = np.where(open_, np.nan, 0.0)
    kind = NOT_CHECKED if np.any(open_) else "splits"
    return Use(
        check=check,
        kind=kind,
        x=x,
        use=told,
        demand=told,
        capacity=told + 1.0,
        unit="",
        source=source,
        unknown=unknown,
    )


def bar_use(
    check: str, x: Array, asked: Array, got: Array, source: str, *, kind: str = BADLY_PLACED, unknown: str = ""
) -> Use:
    """Return a rule that is kept or not: no use where there is as much as is asked for, beyond any limit where not.

    Parameters
    ----------
    x, asked, got : broadcast to (..., cases, points) - where; a length that must be there, and the one that is [m]
    """
    asked, got = np.broadcast_arrays(asked, got)
    broken = np.where(got >= asked * (1.0 - 1e-9), 0.0, np.inf)
    return Use(
        check=check,
        kind=kind,
        x=x,
        use=np.where(np.isnan(asked) | np.isnan(got), np.nan, broken),
        demand=asked + 0.0,
        capacity=got + 0.0,
        unit="m",
        source=source,
        unknown=unknown,
    )


_SQUARE = f"{ANY}**2"
_BY_DEFINITION = "use: 1 over the factor on the variable loads at which the check is just met (by definition)"
_D = Sym("D", ANY, "of the variable loads")
_C = Sym("C", ANY, "what may be there")
_A = Sym("a", ANY, "one way, of the variable loads")
_B = Sym("b", ANY, "the other way, of the variable loads")
_SA = Sym("s_a", ANY, "one way, of the permanent loads")
_SB = Sym("s_b", ANY, "the other way, of the permanent loads")
_FACTOR = Sym("lambda", "", "factor on the variable loads at which the check is just met")


@formula(Sym("U", "", "use"), _BY_DEFINITION, D=_D, C=_C)
def part_used(*, D: Array, C: Array) -> Array:
    """What is there over what may be there."""
    return D / C


@formula(Sym("U", "", "use"), _BY_DEFINITION, D=_D, C=_C, S=Sym("S", ANY, "of the permanent loads"))
def part_used_beside(*, D: Array, C: Array, S: Array) -> Array:
    """What the variable loads use of what the permanent ones leave."""
    return D / (C - S)


@formula(Sym("U", "", "use"), _BY_DEFINITION, factor=_FACTOR)
def use_at_factor(*, factor: Array) -> Array:
    """Use from the factor at which the check is just met."""
    return 1 / factor


@formula(
    Sym("r", ANY, "both ways at once"),
    "square root of the sum of squares: exact at some point of an oval's edge (derived)",
    a=Sym("a", ANY, "one way"),
    b=Sym("b", ANY, "the other way"),
)
def both_ways(*, a: Array, b: Array) -> Array:
    """Two that act square to each other, on an oval."""
    return np.hypot(a, b)


@formula(
    Sym("r", ANY, "both ways at once"),
    "(a^q + b^q)^(1/q), the dual norm of the section's curve (Boyd & Vandenberghe, Convex Optimization, A.1.6, from "
    "memory), written so that nothing overflows",
    a=Sym("a", ANY, "one way", low=0.0),
    b=Sym("b", ANY, "the other way", low=0.0),
    q=Sym("q", "", "exponent of the section's curve: 2 an oval, 1 a rectangle", low=1.0),
)
def both_ways_on_a_curve(*, a: Array, b: Array, q: Array) -> Array:
    """Two that act square to each other, on a superoval or a rectangle."""
    return np.maximum(a, b) * (1 + (np.minimum(a, b) / np.maximum(a, b)) ** q) ** (1 / q)


@formula(Sym("L", _SQUARE, "left of the capacity's square"), _BY_DEFINITION, C=_C, s_a=_SA, s_b=_SB)
def square_left(*, C: Array, s_a: Array, s_b: Array) -> Array:
    """What the permanent loads leave, both ways at once, as squares."""
    return C * C - s_a * s_a - s_b * s_b


@formula(Sym("m", _SQUARE, "variable times permanent"), _BY_DEFINITION, a=_A, b=_B, s_a=_SA, s_b=_SB)
def mixed_part(*, a: Array, b: Array, s_a: Array, s_b: Array) -> Array:
    """Variable times permanent loads, both ways added."""
    return a * s_a + b * s_b


@formula(
    Sym("U", "", "use"),
    "(s_a + a/U)^2 + (s_b + b/U)^2 = C^2, solved for U; " + _BY_DEFINITION,
    a=_A,
    b=_B,
    m=Sym("m", _SQUARE, "variable times permanent"),
    L=Sym("L", _SQUARE, "left of the capacity's square"),
)
def part_used_both_ways(*, a: Array, b: Array, m: Array, L: Array) -> Array:
    """What the variable loads use of what the permanent ones leave, both ways at once."""
    return (m + np.sqrt(np.maximum(m * m + (a * a + b * b) * L, 0))) / L


def plain_use(demand: Array, capacity: Array, still: Array | None = None) -> Array:
    """Return demand over what the permanent part leaves of the capacity.

    Parameters
    ----------
    demand : of the variable loads, not negative
    capacity : of the same unit
    still : of the permanent loads, in the same direction, not negative; none if not given
    """
    left = capacity if still is None else capacity - still
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        use = part_used(D=demand, C=capacity) if still is None else part_used_beside(D=demand, C=capacity, S=still)
    return _limited(use, left, ~np.isnan(demand) & ~np.isnan(left))


def _limited(use: Array, left: Array, known: Bools) -> Array:
    """Return a use, infinite where nothing is left of the capacity."""
    return np.where(np.isnan(use) & known, np.inf, np.where(left <= 0.0, np.inf, use))


def norm(a: Array, b: Array, q: Array | float) -> Array:
    """Return (a^q + b^q)^(1/q) of numbers that are not negative; q = 2 is the square root of the sum of squares."""
    plain = both_ways(a=a, b=b)
    if np.all(q == 2.0):
        return plain
    with np.errstate(invalid="ignore", divide="ignore"):
        curved = both_ways_on_a_curve(a=a, b=b, q=number(q) if isinstance(q, float) else q)
    return np.where(q == 2.0, plain, np.where(np.maximum(a, b) == 0.0, 0.0, curved))


def norm_use(a: Array, b: Array, still_a: Array, still_b: Array, capacity: Array, q: Array | float = 2.0) -> Array:
    """Return the use of `norm(still + factor * variable) <= capacity`.

    For q = 2 in closed form, otherwise by Newton's method from above on a convex function.

    Parameters
    ----------
    a, b : of the variable loads, not negative
    still_a, still_b : of the permanent loads, not negative
    """
    plain = _root_use(a, b, still_a, still_b, capacity)
    if np.all(q == 2.0):
        return plain
    with quiet(), np.errstate(divide="ignore", invalid="ignore"):
        size = norm(a, b, q)
        factor = np.where(size > 0.0, capacity / size, 0.0)
        for _ in range(12):
            ta, tb = still_a + factor * a, still_b + factor * b
            total = norm(ta, tb, q)
            rise = np.where(total > 0.0, a * power(ta / total, q - 1.0) + b * power(tb / total, q - 1.0), 1.0)
            factor = np.where(size > 0.0, factor - (total - capacity) / np.where(rise > 0.0, rise, 1.0), factor)
        spent = norm(still_a, still_b, q) >= capacity
    factor = solved(
        factor,
        _FACTOR,
        "solved for by Newton's method: both ways together, with the permanent loads, come to the capacity",
        _BY_DEFINITION,
        sides=lambda f: (norm(still_a + f * a, still_b + f * b, q), capacity),
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        use = np.where(size > 0.0, use_at_factor(factor=factor), 0.0)
    use = np.where(np.isnan(capacity) | np.isnan(size), np.nan, np.where(spent | (capacity <= 0.0), np.inf, use))
    return np.where(q == 2.0, plain, use)


def _root_use(a: Array, b: Array, still_a: Array, still_b: Array, capacity: Array) -> Array:
    """Return the use of the square root of the sum of squares, in closed form."""
    left = square_left(C=capacity, s_a=still_a, s_b=still_b)
    mixed = mixed_part(a=a, b=b, s_a=still_a, s_b=still_b)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        use = part_used_both_ways(a=a, b=b, m=mixed, L=left)
    known = ~np.isnan(a + b + mixed) & ~np.isnan(left)
    return _limited(use, left * (capacity > 0.0), known)


def search_use(
    left: Callable[[Array], Array],
    bound: Array,
    words: str = "searched for: nothing is left at this factor on the variable loads",
    source: str = _BY_DEFINITION,
    sides: Callable[[Array], tuple[Array, Array]] | None = None,
) -> Array:
    """Return the use of a check whose remaining capacity `left(factor)` falls from above zero and crosses it once.

    Chandrupatla's method (Advances in Engineering Software 28 (1997) 145-149, from memory): inverse quadratic steps
    where they are safe, halving where not; the root stays bracketed.

    Parameters
    ----------
    left : remaining capacity at a factor on the variable loads, falling on (0, bound)
    bound : a factor at which it is zero or below; infinite where there is none, which is no use at all
    words, source : what is solved, for a listener
    sides : of the factor: two things that are equal where it is just met, for a listener
    """
    with quiet():
        best, unknown, spent, free = _root(left, bare(bound))
    factor = solved(best, _FACTOR, words, source, sides=sides)
    with np.errstate(divide="ignore"):
        use = use_at_factor(factor=factor)
    return np.where(unknown, np.nan, np.where(spent, np.inf, np.where(free, 0.0, use)))


def _root(left: Callable[[Array], Array], bound: Array) -> tuple[Array, Bools, Bools, Bools]:
    """Return the root, and where it is not known, where nothing is left from the start, and where no load counts."""
    b, a = np.zeros_like(bound), np.where(np.isfinite(bound), bound, 1e9)
    f_b, f_a = left(b), left(a)
    unknown = np.isnan(f_a) | np.isnan(f_b) | np.isnan(bound)
    spent = f_b <= 0.0
    free = np.isinf(bound)  # no load that counts; a rounding remainder at a finite bound is no freedom
    at_bound = ~free & (f_a > 0.0)
    t = np.full_like(bound, 0.5)
    landed = unknown | spent | free | at_bound
    best = a
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        for _ in range(100):
            if np.all(landed):
                break
            x = a + t * (b - a)
            f = left(x)
            same = np.sign(f) == np.sign(f_a)
            c, f_c = np.where(same, a, b), np.where(same, f_a, f_b)
            b, f_b = np.where(same, b, a), np.where(same, f_b, f_a)
            a, f_a = x, f
            better = np.where(np.abs(f_a) < np.abs(f_b), a, b)
            best = np.where(landed, best, better)  # what has landed stays, whatever the others of the batch still need
            least = np.minimum(np.abs(f_a), np.abs(f_b))
            edge = 4e-16 * np.abs(better) / np.abs(b - c)
            landed = landed | (edge > 0.5) | (least == 0.0)
            xi, phi = (a - b) / (c - b), (f_a - f_b) / (f_c - f_b)
            curved = f_a / (f_b - f_a) * f_c / (f_b - f_c) + (c - a) / (b - a) * f_a / (f_c - f_a) * f_b / (f_c - f_b)
            safe = (phi * phi < xi) & ((1.0 - phi) ** 2 < 1.0 - xi) & np.isfinite(curved)
            t = np.clip(np.where(safe, curved, 0.5), edge, 1.0 - edge)
    return np.where(at_bound, bound, best), unknown, spent, free
