"""Sizes and sentences written for people: plain SI numbers as the trade writes them, in one system of units."""

from __future__ import annotations

import math
import re
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Literal

from shaftcheck.border.units import worth
from shaftcheck.said import Dimension, Said, Side, Size

__all__ = ["MARK", "UNITS", "System", "axis", "both", "decimal", "mixed", "pull", "say", "show"]

System = Literal["metric", "inches"]

_SHOWN: dict[Dimension, tuple[str, tuple[tuple[float, str], ...], tuple[tuple[float, str], ...]]] = {
    "area": ("m^2", ((0.01, "mm^2"), (math.inf, "m^2")), ((math.inf, "sq in"),)),
    "section modulus": ("m^3", ((math.inf, "cm^3"),), ((math.inf, "in^3"),)),
    "second moment": ("m^4", ((math.inf, "cm^4"),), ((math.inf, "in^4"),)),
    "force": ("N", ((1e4, "N"), (math.inf, "kN")), ((math.inf, "lb"),)),
    "mass": ("kg", ((1.0, "g"), (math.inf, "kg")), ((0.45359237, "oz"), (math.inf, "lb"))),
    "stress": ("Pa", ((math.inf, "MPa"),), ((math.inf, "psi"),)),
    "stiffness": ("Pa", ((math.inf, "GPa"),), ((math.inf, "Mpsi"),)),
    "moment": ("N m", ((math.inf, "N m"),), ((math.inf, "lb ft"),)),
    "speed": ("m/s", ((math.inf, "m/s"),), ((math.inf, "knots"),)),
    "density": ("kg/m^3", ((math.inf, "kg/m^3"),), ((math.inf, "lb/ft^3"),)),
    "spring": ("N/m", ((math.inf, "N/mm"),), ((math.inf, "lb/in"),)),
    "angle": ("rad", ((math.inf, "deg"),), ((math.inf, "deg"),)),
    "ratio": ("", ((math.inf, "%"),), ((math.inf, "%"),)),
    "time": ("s", ((math.inf, "s"),), ((math.inf, "s"),)),
    "inertia": ("kg*m^2", ((math.inf, "kg m^2"),), ((math.inf, "lb sq ft"),)),
}
"""The SI unit, and the units a dimension is shown in, each up to a value: metric, then inches and pounds."""
UNITS: frozenset[str] = frozenset(u for _, *systems in _SHOWN.values() for units in systems for _, u in units) | {
    "mm",
    "m",
    "ft",
    "in",
    "lb",
    "oz",
    "C",
    "F",
}
"""all that stand behind a number that is shown"""
_CLEAN = 1e-9
"""A value so near to a mark, relatively, is on it: the noise of a float must not cost half a millimetre."""


def show(value: float, dimension: Dimension, system: System = "metric", *, side: Side = "near") -> str:
    """Return an SI value as the trade writes it, rounded to the nearest mark, down, or up.

    Lengths: tenths of a mm to 10 mm, halves to 100, whole mm to 10 m; feet, inches and sixteenths (64ths to 1/4 in,
    thousandths where no 64th to 1/8 in tells it). A `fit` is a diameter that another must go into, and what is left
    between them: tenths of a mm, thousandths of an inch where it is on no 64th. All else: three digits. `stiffness` is
    that of a wood [Pa], `spring` that of a shaft [N/m]. A sign is kept, and `side` is of the size without it. A value
    within a part in 1e9 of a mark is on it.

    Examples
    --------
    >>> show(0.0475, "length"), show(2.37, "length", "inches"), show(6.53e7, "stress", "inches", side="down")
    ('47.5 mm', '7 ft 9 5/16 in', '9470 psi')
    """
    if math.isnan(value):
        return "not known"
    if math.isinf(value):
        return "without limit"
    size = abs(float(value))
    if dimension == "fit":
        text = f"{_trim(Decimal(_count(size * 1e4, side)) / 10)} mm" if system == "metric" else _fit(size, side)
    elif dimension == "length":
        text = _metric_length(size, side) if system == "metric" else _inches(size, side)
    elif dimension == "slope":
        text = _slope(size, side)
    elif dimension == "temperature":
        degrees = value - 273.15
        return f"{degrees:.0f} C" if system == "metric" else f"{degrees * 1.8 + 32.0:.0f} F"
    elif dimension == "mass" and system == "inches" and 1.0 <= size / 0.45359237 < 30.0:
        text = _pounds(size, side)
    else:
        si, *systems = _SHOWN[dimension]
        unit = next(u for limit, u in systems[system == "inches"] if size < limit)
        text = f"{_digits(size / _per(unit, si), side)} {unit}"
    return f"-{text}" if value < 0 and re.search("[1-9]", text.split("^")[0]) else text


MARK: dict[System, float] = {"metric": 0.001, "inches": 0.0254 / 16.0}
"""what a size is rounded to on the wood: 1 mm, or 1/16 in [m]"""
_AXES: dict[str, tuple[str, str, str]] = {
    "length": ("m", "mm", "in"),
    "lever": ("m", "m", "ft"),
    "mass": ("kg", "kg", "lb"),
    "force": ("N", "N", "lb"),
}


def axis(what: Literal["length", "lever", "mass", "force"], system: System) -> tuple[str, float]:
    """Return the unit of a picture's axis, and how much of SI one of it is; `lever` is a length in m or ft.

    Examples
    --------
    >>> axis("length", "metric"), axis("mass", "inches")
    (('mm', 0.001), ('lb', 0.45359237))
    """
    si, *units = _AXES[what]
    unit = units[system == "inches"]
    return unit, _per(unit, si)


@cache
def _per(unit: str, si: str) -> float:
    return float(worth(unit, si))


def _count(marks: float, side: Side) -> int:
    """Return a whole number of marks."""
    if side == "near" or abs(marks - round(marks)) <= _CLEAN * max(1e-3, marks):
        return math.floor(marks + 0.5)
    return math.floor(marks) if side == "down" else math.ceil(marks)


def _digits(number: float, side: Side, digits: int = 3) -> str:
    """Return a number of three digits in plain decimals."""
    if number < 1e-15:
        return "0"
    place = math.floor(math.log10(number)) - digits + 1
    marks = number / 10.0**place if place >= 0 else number * 10.0**-place
    return _trim(Decimal(_count(marks, side)).scaleb(place))


def _trim(number: Decimal) -> str:
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _metric_length(size: float, side: Side) -> str:
    mm = size * 1000.0
    if mm >= 9_999.5:
        return f"{_trim(Decimal(_count(mm / 10.0, side)).scaleb(-2))} m"
    per_mm = 10 if mm < 10 else 2 if mm < 100 else 1
    return f"{_trim(Decimal(_count(mm * per_mm, side)) / per_mm)} mm"


def _fit(size: float, side: Side) -> str:
    """Return a size to the thousandth of an inch, as a fraction where it is on a 64th."""
    inches = size / 0.0254
    on = Fraction(round(inches * 64), 64)
    if abs(inches - on) <= _CLEAN * max(1.0, inches):
        return f"{mixed(on)} in"
    return f"{_trim(Decimal(_count(inches * 1000, side)) / 1000)} in"


_SMALL, _TELLS = 0.125, 0.02
"""below this size [in] a 64th that is off by more than this part of it does not tell it (judgement)"""


def _inches(size: float, side: Side) -> str:
    inches = size / 0.0254
    if inches < _SMALL and abs(_count(inches * 64, side) / 64 - inches) > _TELLS * inches:
        return _fit(size, side)
    per_inch = 64 if inches < 0.25 else 16
    total = Fraction(_count(inches * per_inch, side), per_inch)
    feet, rest = divmod(total, 12) if total >= 24 else (0, total)
    return " ".join([*([f"{feet} ft"] if feet else []), *([f"{mixed(rest)} in"] if rest or not feet else [])])


def _pounds(size: float, side: Side) -> str:
    pounds, ounces = divmod(_count(size / (0.45359237 / 16), side), 16)
    return f"{pounds} lb" + (f" {ounces} oz" if ounces else "")


def _slope(size: float, side: Side) -> str:
    if size < 1e-6:
        return "straight"
    turned: dict[Side, Side] = {"near": "near", "down": "up", "up": "down"}
    return f"1:{_digits(1.0 / size, turned[side])}"


def pull(value: float, system: System = "metric", *, alone: bool = False) -> str:
    """Return a force [N] that may be worked to, rounded down, in a system's hand use first; or in that alone.

    Examples
    --------
    >>> pull(430), pull(430, "inches"), pull(430, "metric", alone=True), pull(430, "inches", alone=True)
    ('430 N (43 kg, 96.6 lb)', '96.6 lb (43 kg, 430 N)', '430 N (43 kg)', '96.6 lb')
    """
    if not math.isfinite(value):
        return show(value, "force")
    size = abs(value)
    kg = f"{_hand(size / _per('kg', 'N'))} kg"
    newtons, lb = (show(size, "force", each, side="down") for each in ("metric", "inches"))
    first, rest = (newtons, [kg] if alone else [kg, lb]) if system == "metric" else (lb, [] if alone else [kg, newtons])
    return f"{'-' if value < 0 else ''}{first}" + (f" ({', '.join(rest)})" if rest else "")


def _hand(number: float) -> str:
    """Return a weight rounded down to the whole, below ten to the tenth."""
    return str(_count(number, "down")) if number >= 10 else _trim(Decimal(_count(number * 10, "down")).scaleb(-1))


def say(sentence: Said, system: System = "metric") -> str:
    """Return a sentence with its sizes in one system of units.

    Examples
    --------
    >>> from shaftcheck.said import said, sized
    >>> say(said("the {what} is {long} long", what="scarf", long=sized(0.6)), "inches")
    'the scarf is 23 5/8 in long'
    """
    parts = {
        name: show(part.value, part.dimension, system, side=part.side) if isinstance(part, Size) else part
        for name, part in sentence.parts
    }
    return sentence.text.format_map(parts)


def both(value: float, dimension: Dimension, first: System = "metric", *, side: Side = "near") -> str:
    """Return an SI value in both systems, one of them first, once where they are the same.

    Examples
    --------
    >>> both(0.0475, "length"), both(0.0475, "length", "inches"), both(0.12, "ratio")
    ('47.5 mm (1 7/8 in)', '1 7/8 in (47.5 mm)', '12 %')
    """
    other: System = "inches" if first == "metric" else "metric"
    one, two = (show(value, dimension, system, side=side) for system in (first, other))
    return one if one == two else f"{one} ({two})"


# numbers alone -----------------------------------------------------------------------------------------------------


def decimal(value: Fraction | str) -> str:
    """Return a number in plain decimals, at most six of them."""
    number = Decimal(value) if isinstance(value, str) else Decimal(value.numerator) / Decimal(value.denominator)
    return f"{number:.6f}".rstrip("0").rstrip(".")


def mixed(value: Fraction) -> str:
    """Return a whole number with its fraction, or in decimals where the fraction is not a trade one."""
    if value.denominator not in (1, 2, 4, 8, 16, 32, 64):
        return decimal(value)
    whole, rest = divmod(value, 1)
    return " ".join([*([str(whole)] if whole or not rest else []), *([str(rest)] if rest else [])])
