"""Sizes that a line never ends in: number, fraction and unit stay together wherever a text is broken into lines."""

from __future__ import annotations

import re
import textwrap
from functools import cache

from shaftcheck.border.shown import UNITS

__all__ = ["filled", "free", "kept", "lines"]

NO_BREAK = "\u00a0"


@cache
def _size() -> re.Pattern[str]:
    number = r"\d(?:[\d.,]*\d)?(?:/\d+)?(?: \d+/\d+)?"
    units = "|".join(re.escape(u) for u in sorted(UNITS, key=lambda u: -len(u)))
    first = rf"(?<![\w./]){number} (?:{units})(?![\w/^])"
    return re.compile(rf"{first}(?:(?<=ft) {number} in(?!\w)|(?<=lb) {number} oz(?!\w))?")


def kept(text: str) -> str:
    """Return a text with no-break spaces within each size in it; two of them, as 2 in by 1 in, may still part.

    Examples
    --------
    >>> kept("from 5 ft 6 1/2 in on").split(" ")
    ['from', '5\\xa0ft\\xa06\\xa01/2\\xa0in', 'on']
    """
    return _size().sub(lambda m: m[0].replace(" ", NO_BREAK), text)


def free(text: str) -> str:
    """Return a text with plain spaces again: what a terminal, a file and a program get."""
    return text.replace(NO_BREAK, " ")


def lines(text: str, width: int) -> list[str]:
    """Return the lines that a text is broken into, with no-break spaces within the sizes."""
    return textwrap.wrap(kept(text), width)


def filled(text: str, width: int, indent: str = "") -> str:
    """Return a text in lines of a width, those after the first set in below `indent`, spaces plain again."""
    after = " " * len(indent)
    return free(textwrap.fill(kept(text), width, initial_indent=indent, subsequent_indent=after))
