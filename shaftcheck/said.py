"""Sentences with sizes in them: the sizes stay in SI until they are shown in the units that the reader asked for.

No sentence about a shaft holds a written size: a page must never mix two systems of units.
"""

from __future__ import annotations

from typing import Literal

from shaftcheck.frozen import frozen
from shaftcheck.model import Array

__all__ = ["Dimension", "Said", "Side", "Size", "said", "sized"]

Side = Literal["near", "down", "up"]
Dimension = Literal[
    "length", "area", "section modulus", "second moment", "force", "mass", "stress", "stiffness", "moment", "speed",
    "density", "spring", "angle", "ratio", "slope", "time", "temperature", "inertia",
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
