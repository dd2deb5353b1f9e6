"""Numbers with units as the worked lines print them.

Each line is in one coherent set of units, so that its numbers can be keyed into a calculator as they stand: N, mm and
MPa, or lbf, in and psi; where mass or time comes in, N, m, kg and s, or lbf, ft, slug and s.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache

import numpy as np

from shaftcheck.border.shown import System
from shaftcheck.border.units import factor

__all__ = ["PLAIN", "Dimension", "Shown", "dimension", "moves", "shown", "significant", "spoken"]


@dataclass(frozen=True, slots=True)
class Dimension:
    """Powers of force, length and time; a mass is a force over an acceleration."""

    force: Fraction = Fraction(0)
    length: Fraction = Fraction(0)
    time: Fraction = Fraction(0)

    def times(self, other: Dimension, power: Fraction = Fraction(1)) -> Dimension:
        """Return the dimension of a product with a power of another."""
        return Dimension(
            self.force + power * other.force, self.length + power * other.length, self.time + power * other.time
        )

    def to(self, power: Fraction) -> Dimension:
        """Return the dimension of a power."""
        return PLAIN.times(self, power)


PLAIN = Dimension()
_UNITS = {
    "N": Dimension(force=Fraction(1)),
    "m": Dimension(length=Fraction(1)),
    "kg": Dimension(force=Fraction(1), length=Fraction(-1), time=Fraction(2)),
    "s": Dimension(time=Fraction(1)),
    "Pa": Dimension(force=Fraction(1), length=Fraction(-2)),
    "1": PLAIN,
    "": PLAIN,
}


@cache
def dimension(unit: str) -> Dimension:
    """Return the dimension of a unit as formulas write it: N*m, kg/m**3, m^-1."""
    out, sign = PLAIN, 1
    for token in re.split(r"([*/])", unit.replace("**", "^").replace(" ", "")):
        if token in ("*", "/"):
            sign = -1 if token == "/" else 1
            continue
        name, _, power = token.partition("^")
        out = out.times(_UNITS[name], sign * Fraction(power or 1))
    return out


def moves(dimensions: Iterable[Dimension]) -> bool:
    """Return whether mass or time comes in, beside force or length."""
    some = list(dimensions)
    return any(d.time for d in some) and any(d.force or d.length for d in some)


@dataclass(frozen=True, slots=True)
class Shown:
    """How a dimension is shown, and how many of the shown unit one of the inner system is."""

    unit: str
    scale: float


@cache
def shown(d: Dimension, system: System, moving: bool, alone: bool = False) -> Shown:
    """Return how a dimension is shown; `moving` where mass or time comes into the line.

    A number that stands alone, which nobody works on with, has its mass in pounds and not in slugs.
    """
    if system == "metric":
        force, length, mass = ("N", 1.0), ("m", 1.0) if moving else ("mm", 1e3), ("kg", 1.0)
        stress = "Pa" if moving else "MPa"
    else:
        force = ("lbf", factor("N", "lbf"))
        length = ("ft", factor("m", "ft")) if moving else ("in", factor("m", "in"))
        mass = ("lb", factor("kg", "lb")) if alone else ("slug", force[1] / factor("m", "ft"))
        stress = "" if moving else "psi"
    heavy = max(min(d.force, d.time / 2), Fraction(0))  # as much of it as is a mass
    parts = (
        (force, d.force - heavy),
        (mass, heavy),
        (length, d.length + heavy),
        (("s", 1.0), d.time - 2 * heavy),
    )
    scale = float(np.prod([s ** float(p) for (_, s), p in parts]))
    if stress and d == _UNITS["Pa"]:
        return Shown(stress, scale)
    over = [_power(name, p) for (name, _), p in parts if p > 0]
    under = [_power(name, -p) for (name, _), p in parts if p < 0]
    below = f"/{' '.join(under) if len(under) < 2 else '(' + ' '.join(under) + ')'}" if under else ""
    return Shown(f"{' '.join(over) or ('1' if under else '')}{below}", scale)


def _power(name: str, power: Fraction) -> str:
    return name if power == 1 else f"{name}^{float(power):g}"


def significant(value: float, digits: int) -> str:
    """Return a number to so many significant digits, without zeros that say nothing."""
    if np.isnan(value):
        return "not known"
    if np.isinf(value):
        return "without limit" if value > 0 else "minus without limit"
    rounded = f"{value:.{digits - 1}e}"
    mantissa, _, power = rounded.partition("e")
    if -4 <= int(power) < 7:
        text = format(Decimal(rounded), "f")
        return text.rstrip("0").rstrip(".") if "." in text else text
    return f"{mantissa.rstrip('0').rstrip('.') if '.' in mantissa else mantissa}e{int(power)}"


def spoken(number: str) -> float:
    """Return what a printed number stands for."""
    words: dict[str, float] = {"not known": np.nan, "without limit": np.inf, "minus without limit": -np.inf}
    return words[number] if number in words else float(number)
