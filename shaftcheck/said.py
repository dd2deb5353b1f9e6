"""Sentences with sizes in them: the sizes stay in SI until they are shown in the units that the reader asked for.

No sentence about a shaft holds a written size: a page must never mix two systems of units.
"""

from __future__ import annotations

import math
from decimal import Decimal
from typing import Literal

from shaftcheck.frozen import frozen
from shaftcheck.model import Array

__all__ = [
    "BEYOND",
    "NOT_KNOWN",
    "Dimension",
    "Said",
    "Side",
    "Size",
    "margin_left",
    "percent",
    "said",
    "sized",
    "used",
]

Side = Literal["near", "down", "up"]
Dimension = Literal[
    "length", "fit", "area", "section modulus", "second moment", "force", "mass", "stress", "stiffness", "moment",
    "speed", "density", "spring", "angle", "ratio", "slope", "time", "temperature", "inertia",
]  # fmt: skip


@frozen(kw_only=False, eq=True)
class Size:
    """A size in SI, and how it is to be shown."""

    value: float
    dimension: Dimension
    side: Side = "near"
    """to which side it is rounded"""


@frozen(kw_only=False, eq=True)
class Said:
    """A sentence with named places in braces, and what stands in each: a size, or a word."""

    text: str
    parts: tuple[tuple[str, Size | str], ...] = ()


def said(text: str, /, **parts: Size | str) -> Said:
    """Return a sentence with sizes; names and words that a file gives are parts too, never of the text itself.

    Examples
    --------
    >>> said("the {what} is {long} long", what="scarf", long=sized(0.6)).parts[1]
    ('long', Size(value=0.6, dimension='length', side='near'))
    """
    return Said(text, tuple(parts.items()))


def sized(value: float | Array, dimension: Dimension = "length", side: Side = "near") -> Size:
    """Return a size in SI, for a sentence."""
    return Size(float(value), dimension, side)


BEYOND = "beyond any limit"
"""what a use without end is called: nothing is left of what may be there"""
NOT_KNOWN = "not known"
_LAST = 1e-9
"""what a float may be off by does not round it up or down [per cent]"""
_LEAST = 1e-6
"""below this there is nothing to be said of (judgement) [per cent]"""
_MOST = 1e6
"""a figure beyond this says no more than that nothing is left (judgement) [per cent]"""


def percent(
    part: float | Array, side: Side = "near", *, digits: int = 0, signed: bool = False, unknown: str = NOT_KNOWN
) -> str:
    """Return a part of something in per cent: the only place that writes one for a person.

    Parameters
    ----------
    part : [-]; nan is said as `unknown`, infinity, or ten thousand times as much, as `BEYOND`
    side : to which side it is rounded; a use goes up, a margin down
    digits : figures that are kept of a rounding to the nearest; 0 keeps whole per cent
    signed : whether a plus is written

    Examples
    --------
    >>> percent(0.4201, "up"), percent(0.16, digits=3), percent(-0.07, signed=True), percent(math.inf, "up")
    ('43 %', '16 %', '-7 %', 'beyond any limit')
    """
    value = float(part) * 100.0
    if math.isnan(value):
        return unknown
    if abs(value) > _MOST:
        return BEYOND
    sign = "+" if signed else ""
    if side == "near" and digits:
        return f"{Decimal(f'{value if abs(value) >= _LEAST else 0.0:.{digits}g}'):{sign}f} %"
    if side == "near":
        return f"{value:{sign}.0f} %"
    return f"{math.ceil(value - _LAST) if side == 'up' else math.floor(value + _LAST):{sign}d} %"


def used(use: float | Array) -> str:
    """Return a use in a sentence: '43 % used', or that it is beyond any limit.

    Examples
    --------
    >>> used(0.43), used(math.inf)
    ('43 % used', 'beyond any limit')
    """
    said_so = percent(use, "up")
    return said_so if said_so in (BEYOND, NOT_KNOWN) else f"{said_so} used"


def margin_left(use: float | Array) -> str:
    """Return what a use leaves, 1/use - 1 rounded down, with its sign; empty where it is not known or has no end."""
    use = float(use)
    return "" if math.isnan(use) or use <= 0.0 else percent(1.0 / use - 1.0, "down", signed=True)
