"""Comparisons of what is there with what may be there, and the use that follows.

*Use* is 1 over the factor on the variable loads at which the check is just met; permanent loads are not scaled. So
loads times (1 + margin), margin = 1/use - 1, land on the limit exactly. Capacity of zero or less is infinite use; nan
is 'not known'. Nothing here ever writes `use > 1`, which lets the unknown through.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from shaftcheck.model import Array

__all__ = ["NOT_CHECKED", "Use", "norm", "norm_use", "plain_use", "search_use"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """One comparison. Arrays broadcast to (..., cases, points); nan means not known."""

    check: str
    """its name, as declared in the registry"""
    kind: str
    """what happens where it fails: breaks, splits, dents, buckles, wears out, or 'is not checked'"""
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
    if np.ndim(q) == 0 and q == 2.0:
        return np.asarray(np.hypot(a, b))
    top = np.maximum(a, b)
    with np.errstate(invalid="ignore", divide="ignore"):
        r = np.where(top == 0.0, 0.0, np.minimum(a, b) / top)
        return np.asarray(top * (1.0 + r**q) ** (1.0 / q))


def norm_use(a: Array, b: Array, still_a: Array, still_b: Array, capacity: Array, q: Array | float = 2.0) -> Array:
    """Return the use of `norm(still + factor * variable) <= capacity`.

    For q = 2 in closed form, otherwise by Newton's method from above on a convex function.

    Parameters
    ----------
    a, b : of the variable loads, not negative
    still_a, still_b : of the permanent loads, not negative
    """
    if np.ndim(q) == 0 and q == 2.0:
        left = capacity * capacity - still_a * still_a - still_b * still_b
        mixed = a * still_a + b * still_b
        return plain_use(
            mixed + np.sqrt(np.maximum(mixed * mixed + (a * a + b * b) * left, 0.0)), left * (capacity > 0)
        )
    size = norm(a, b, q)
    with np.errstate(divide="ignore", invalid="ignore"):
        factor = np.where(size > 0.0, capacity / size, 0.0)
        for _ in range(12):
            ta, tb = still_a + factor * a, still_b + factor * b
            total = norm(ta, tb, q)
            rise = np.where(total > 0.0, a * (ta / total) ** (q - 1.0) + b * (tb / total) ** (q - 1.0), 1.0)
            factor = np.where(size > 0.0, factor - (total - capacity) / np.where(rise > 0.0, rise, 1.0), factor)
        use = np.where(size > 0.0, 1.0 / factor, 0.0)
    spent = norm(still_a, still_b, q) >= capacity
    return np.where(np.isnan(capacity) | np.isnan(size), np.nan, np.where(spent | (capacity <= 0.0), np.inf, use))


def search_use(left: Callable[[Array], Array], bound: Array) -> Array:
    """Return the use of a check whose remaining capacity `left(factor)` falls from above zero and crosses it once.

    Bisection with secant steps kept inside the bracket, to the last digits.

    Parameters
    ----------
    left : remaining capacity at a factor on the variable loads, falling on (0, bound)
    bound : a factor at which it is zero or below; infinite where there is none
    """
    lo, hi = np.zeros_like(bound), np.where(np.isfinite(bound), bound, 1e9)
    f_lo, f_hi = left(lo), left(hi)
    unknown = np.isnan(f_lo) | np.isnan(f_hi) | np.isnan(bound)
    spent = f_lo <= 0.0
    side = np.zeros_like(bound)
    with np.errstate(invalid="ignore", divide="ignore"):
        for i in range(80):
            secant = (lo * f_hi - hi * f_lo) / (f_hi - f_lo)
            half = (lo + hi) / 2.0
            good = (secant > lo) & (secant < hi) & (i % 3 != 2)
            mid = np.where(good, secant, half)
            f = left(mid)
            above = f > 0.0
            f_hi = np.where(above & (side == 1.0), f_hi / 2.0, f_hi)  # Illinois: no end may stand still
            f_lo = np.where(~above & (side == -1.0), f_lo / 2.0, f_lo)
            lo, f_lo = np.where(above, mid, lo), np.where(above, f, f_lo)
            hi, f_hi = np.where(above, hi, mid), np.where(above, f_hi, f)
            side = np.where(above, 1.0, -1.0)
            if np.all((hi - lo <= 1e-13 * hi) | unknown | spent):
                break
        use = 1.0 / np.where(hi > 0.0, hi, np.nan)
    return np.where(unknown, np.nan, np.where(spent, np.inf, use))
