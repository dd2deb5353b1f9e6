"""One key of a shaft file: what it is, what is taken where it is left out.

Where a key is left out, there are three ways, and never a silent one: it is *needed* (an error), it has a *named
assumption* (`assume`, printed with the result), or the part of the question that it serves is not asked (`optional`).
"""

from __future__ import annotations

from typing import Literal

from shaftcheck.frozen import frozen
from shaftcheck.said import Dimension

__all__ = ["DIMENSION_OF", "Key", "Kind", "Value"]

Value = float | str
"""an input in SI, or one of its choices"""
Kind = Literal[
    "length", "area", "mass", "force", "speed", "ratio", "slope", "count", "moisture", "choice", "text", "wood"
]
DIMENSION_OF: dict[Kind, Dimension] = {
    "length": "length", "area": "area", "mass": "mass", "force": "force", "speed": "speed", "slope": "slope",
    "moisture": "ratio",
}  # fmt: skip
"""what a kind of input is shown as; of those that are not here, the text or the plain number"""


@frozen(eq=True)
class Key:
    """One key of a shaft file."""

    kind: Kind
    help: str
    example: str
    noun: str = ""
    """what it is called in a sentence; its key's own words where it is not told"""
    assume: str | None = None
    """what is taken where it is left out"""
    why: str = ""
    """the assumption in words, {taken} for what is taken"""
    optional: bool = False
    low: float = 0.0
    high: float = float("inf")
    """bounds, ends inside, SI"""
    choices: tuple[str, ...] = ()
    span: tuple[str, str] | None = None
    """the range that a bare 'unknown' stands for"""
    ways: tuple[str, ...] = ()
    """the choices that a bare 'unknown' stands for"""
    only_told: bool = False
    """no verdict hangs on it: where it is unknown, what it serves is 'not known', and nothing is tried"""
