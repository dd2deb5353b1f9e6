"""Gauss-Legendre points, made without numpy's polynomial package, whose import alone costs a tenth of a start."""

from __future__ import annotations

from functools import cache

import numpy as np

from shaftcheck.model import Array

__all__ = ["gauss"]


def _legendre(x: Array, n: int) -> tuple[Array, Array]:
    """Return P_n and P_(n-1) at x by the three-term recurrence (Abramowitz & Stegun 22.7.10, from memory)."""
    before, now = np.ones_like(x), x
    for k in range(2, n + 1):
        before, now = now, ((2 * k - 1) * x * now - (k - 1) * before) / k
    return now, before


@cache
def gauss(n: int) -> tuple[Array, Array]:
    """Return the n points in (-1, 1), rising, and their weights; exact for polynomials of degree 2 n - 1.

    Newton's method on P_n from the cosines of Abramowitz & Stegun 22.16.6 (from memory); four steps reach the last
    digit.
    """
    x = -np.cos(np.pi * (np.arange(1, n + 1) - 0.25) / (n + 0.5))
    for _ in range(5):
        p, q = _legendre(x, n)
        slope = n * (x * p - q) / (x * x - 1.0)
        x = x - p / slope
    p, q = _legendre(x, n)
    slope = n * (x * p - q) / (x * x - 1.0)
    return x, 2.0 / ((1.0 - x * x) * slope * slope)
