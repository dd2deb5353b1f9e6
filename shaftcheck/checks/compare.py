"""Comparisons of what is there with what may be there, and the use that follows.

*Use* is 1 over the factor on the variable loads at which the check is just met; permanent loads are not scaled. So
loads times (1 + margin), margin = 1/use - 1, land on the limit exactly. Capacity of zero or less is infinite use; nan
is 'not known'. Nothing here ever writes `use > 1`, which lets the unknown through.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from shaftcheck.frozen import frozen
from shaftcheck.model import Array
from shaftcheck.sections import power

__all__ = ["NOT_CHECKED", "Use", "norm", "norm_use", "plain_use", "search_use"]


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
CLOSE = 1e-15
"""how closely a root is searched: a few last digits of a float [-]"""


def plain_use(demand: Array, capacity: Array, still: Array | float = 0.0) -> Array:
    """Return demand over what the permanent part leaves of the capacity.

    Parameters
    ----------
    demand : of the variable loads, not negative
    capacity : of the same unit
    still : of the permanent loads, in the same direction, not negative
    """
    left = capacity - still
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        use = demand / left
    return np.where(np.isnan(use) & ~np.isnan(demand) & ~np.isnan(left), np.inf, np.where(left <= 0.0, np.inf, use))


def norm(a: Array, b: Array, q: Array | float) -> Array:
    """Return (a^q + b^q)^(1/q) of numbers that are not negative; q = 2 is the square root of the sum of squares."""
    plain = np.hypot(a, b)
    if np.all(q == 2.0):
        return np.asarray(plain)
    top = np.maximum(a, b)
    with np.errstate(invalid="ignore", divide="ignore"):
        r = np.where(top == 0.0, 0.0, np.minimum(a, b) / top)
        return np.where(q == 2.0, plain, top * power(1.0 + power(r, q), 1.0 / q))


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
    size = norm(a, b, q)
    with np.errstate(divide="ignore", invalid="ignore"):
        factor = np.where(size > 0.0, capacity / size, 0.0)
        for _ in range(12):
            ta, tb = still_a + factor * a, still_b + factor * b
            total = norm(ta, tb, q)
            rise = np.where(total > 0.0, a * power(ta / total, q - 1.0) + b * power(tb / total, q - 1.0), 1.0)
            factor = np.where(size > 0.0, factor - (total - capacity) / np.where(rise > 0.0, rise, 1.0), factor)
        use = np.where(size > 0.0, 1.0 / factor, 0.0)
    spent = norm(still_a, still_b, q) >= capacity
    use = np.where(np.isnan(capacity) | np.isnan(size), np.nan, np.where(spent | (capacity <= 0.0), np.inf, use))
    return np.where(q == 2.0, plain, use)


def _root_use(a: Array, b: Array, still_a: Array, still_b: Array, capacity: Array) -> Array:
    """Return the use of the square root of the sum of squares, in closed form."""
    left = capacity * capacity - still_a * still_a - still_b * still_b
    mixed = a * still_a + b * still_b
    root = np.sqrt(np.maximum(mixed * mixed + (a * a + b * b) * left, 0.0))
    return plain_use(mixed + root, left * (capacity > 0))


def search_use(left: Callable[[Array], Array], bound: Array) -> Array:
    """Return the use of a check whose remaining capacity `left(factor)` falls from above zero and crosses it once.

    Chandrupatla's method (Advances in Engineering Software 28 (1997) 145-149, from memory): inverse quadratic steps
    where they are safe, halving where not; the root stays bracketed.

    Parameters
    ----------
    left : remaining capacity at a factor on the variable loads, falling on (0, bound)
    bound : a factor at which it is zero or below; infinite where there is none, which is no use at all
    """
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
        use = np.where(at_bound, 1.0 / np.where(free, 1.0, bound), 1.0 / best)
    return np.where(unknown, np.nan, np.where(spent, np.inf, np.where(free, 0.0, use)))
