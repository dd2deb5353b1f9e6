"""What to write instead of what is wrong: examples in the units that a file tells its sizes in."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from shaftcheck.border.shown import System, show
from shaftcheck.border.units import factor
from shaftcheck.key import Key

__all__ = ["example", "needed", "told_in"]

_METRIC = re.compile(r"(?<![\w.,])(\d+(?:\.\d+)?) (mm|m|m2|kg|N|m/s)(?![\w/])")
_INCHES = re.compile(r"\d ?(?:\"|''|′|″|'|(?:in|inch|inches|ft|feet|foot|lb|lbs|oz|knots|psi)\b)", re.IGNORECASE)
_MARKS = ((0.01, 0.001), (0.125, 1.0 / 64.0), (1.0, 1.0 / 16.0), (6.0, 0.125), (24.0, 0.25))
"""up to what size a length is rounded to which mark [in]; beyond, to whole inches: it is an example"""
_OTHERS = {"kg": "lb", "N": "lbf", "m/s": "knots", "m2": "sq in"}


def told_in(doc: Mapping[str, Any]) -> System:
    """Return the units that a file tells its sizes in: those that it asks for, or those of most of its sizes.

    Examples
    --------
    >>> told_in({"oar": {"length": "9 ft", "blade_width": '5 1/4"'}, "rig": {"lock": "700 mm"}})
    'inches'
    """
    if doc.get("answer_in") == "inches":
        return "inches"
    texts = list(_texts(doc))
    inches = sum(_INCHES.search(t) is not None for t in texts)
    return "inches" if inches > sum(_METRIC.search(t) is not None for t in texts) else "metric"


def _texts(item: Any, depth: int = 4) -> list[str]:
    """Return the texts of tables; as deep as the rows of a list in a change, and no deeper."""
    if isinstance(item, str):
        return [item]
    inner = item.values() if isinstance(item, Mapping) else item if isinstance(item, list) else ()
    return [text for each in inner for text in _texts(each, depth - 1)] if depth else []


def example(text: str, system: System) -> str:
    """Return an example of ours, whose sizes are metric, in the units of a file: about the same, and a round size.

    Examples
    --------
    >>> example("2.42 m", "inches"), example("unknown (5 mm to 12 mm)", "inches"), example("2000 N", "inches")
    ('7 ft 11 in', 'unknown (3/16 in to 1/2 in)', '450 lb')
    """
    return text if system == "metric" else _METRIC.sub(lambda m: _round(float(m[1]), m[2]), text)


def _round(value: float, unit: str) -> str:
    if unit in _OTHERS:
        other = "oz" if unit == "kg" and value < 0.45 else _OTHERS[unit]
        number = value * factor(unit, other)
        return f"{float(f'{number:.{1 if number < 1.0 else 2}g}'):g} {other.replace('lbf', 'lb')}"
    inches = value * factor(unit, "in")
    mark = next((mark for most, mark in _MARKS if inches < most), 1.0)
    if mark == 0.001 and inches:
        return f"{inches:.3f} in"
    return show(round(inches / mark) * mark * 0.0254, "length", "inches")


def needed(name: str, key: Key, system: System) -> str:
    """Return what to write for a key that is needed: every way there is, for one alone would be taken for the answer.

    Examples
    --------
    >>> needed("inside", Key(kind="choice", help="", example="solid", choices=("solid", "hollow")), "metric")
    'write inside = "solid" or "hollow"'
    """
    ways = [f'"{way}"' for way in key.choices or (example(key.example, system),)]
    ways += ['"unknown"'] if key.span or len(key.ways) > 1 else []
    return f"write {name} = {' or '.join([', '.join(ways[:-1]), ways[-1]] if ways[1:] else ways)}"
