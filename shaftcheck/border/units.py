"""Units at the border: the one registry, and the only module that uses pint.

The registry is made on first use from a small unit file of our own without prefixes, which is at once the list of
units that are read and the reason that a start is quick. Our own grammar stands in front of pint, for pint alone would
take `ms` for metres (a plural of m) and `1 m` for a unit.
"""

from __future__ import annotations

import re
from contextlib import suppress
from fractions import Fraction
from functools import cache
from importlib.resources import as_file, files
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pint

__all__ = ["DIMENSIONS", "exact", "factor", "is_quantity", "registry", "spell", "strip", "units", "worth"]

DIMENSIONS: dict[str, tuple[str, tuple[str, ...]]] = {
    "m": ("length", ("mm", "cm", "m", "in", "ft")),
    "m^2": ("area", ("mm^2", "cm^2", "m^2", "sq in", "sq ft")),
    "m^3": ("section modulus", ("mm^3", "cm^3", "in^3")),
    "m^4": ("second moment of area", ("mm^4", "cm^4", "in^4")),
    "N": ("force", ("N", "kN", "kgf", "lbf")),
    "kg": ("mass", ("g", "kg", "oz", "lb")),
    "m/s": ("speed", ("m/s", "km/h", "kn", "knots", "ft/s", "mph")),
    "Pa": ("stress", ("kPa", "MPa", "GPa", "N/mm^2", "psi", "ksi", "Mpsi")),
    "kg/m^3": ("density", ("kg/m^3", "g/cm^3", "lb/ft^3")),
    "N*m": ("moment", ("N m", "N mm", "kN m", "lbf ft", "lbf in")),
    "N/m": ("stiffness", ("N/m", "N/mm", "kN/m", "lbf/in")),
    "rad": ("angle", ("deg", "rad")),
    "s": ("time", ("s", "min", "h")),
    "pct": ("ratio", ("%",)),
    "": ("ratio", ("%",)),
}
"""What each inner unit measures, and the units to name when one is not read. The list of all is units.txt."""

_SIGNS = {"'": "ft", '"': "in", "%": "pct", "°": "deg"}
_GLUED = {"Nm": "N*m", "Nmm": "N*mm", "kNm": "kN*m"}
_CAPITALS = {"MM": "mm", "CM": "cm", "Cm": "cm", "KG": "kg", "Kg": "kg"}
"""Other writings of metric units that are read; `Mm`, `KN`, `Kn`, `mpa` could be something else and are not."""
_ANY_CASE = {"in", "ft", "yd", "lb", "lbs", "lbf", "oz", "psi", "deg"}
_FORCES = {"N", "kN", "kgf", "lbf", "ozf", "kg", "lb", "oz"}
_ANGLES = {"deg", "rad"}
"""To pint an angle is a plain number; here twelve degrees are no ratio."""
_WEIGHTS = {"kg": "kgf", "lb": "lbf", "oz": "ozf"}
"""Masses that stand for their weight in standard gravity where a force is wanted."""
_DOTTED = {"in", "ft", "yd", "lb", "lbs", "oz"}


@cache
def registry(number: type = float) -> pint.UnitRegistry[Any]:
    """Return the registry of the package, that counts in floats or in fractions."""
    import pint

    with as_file(files("shaftcheck.border") / "units.txt") as path:
        return pint.UnitRegistry(str(path), cache_folder=None, non_int_type=number)


def units() -> pint.UnitRegistry[Any]:
    """Return the registry of the package, to write sizes with in Python.

    Examples
    --------
    >>> u = units()
    >>> (2 * u.inch).to("mm").magnitude
    50.8
    """
    return registry()


@cache
def _symbols() -> dict[str, str]:
    """Return the symbol of every name in the unit file."""
    lines = (files("shaftcheck.border") / "units.txt").read_text("utf-8").splitlines()
    rows = [[part.strip() for part in line.split("=")] for line in lines if re.match(r"[a-z_]+ =", line)]
    return {name: row[2] for row in rows for name in (row[0], *row[2:])}


def _symbol(name: str) -> str:
    """Return the symbol of one unit, whichever of its names and cases is written."""
    symbols, plain = _symbols(), name.removesuffix(".")
    if plain != name and plain.lower() not in _DOTTED:
        raise LookupError(f"'{name}' is not a unit that is read")
    any_case = plain.lower() in _ANY_CASE or len(plain) > 3
    for n in (plain, _CAPITALS.get(plain, ""), plain.lower() if any_case else ""):
        if n in symbols:
            return symbols[n]
    raise LookupError(f"'{name}' is not a unit that is read")


def spell(unit: str) -> str:
    """Return a unit in the one spelling used inside, by symbols.

    Read are names of the unit file alone, with the powers 2 to 4 (`m^2`, `m2`, `m²`, `sq m`), a force by a
    length (`N m`, `N*m`, `Nm`, `ft-lb`) or one divided by another (`kg/m^3`), and the signs `' " % °`.

    Raises
    ------
    LookupError
        if it is not a unit that is read.

    Examples
    --------
    >>> [spell(unit) for unit in ("feet", "sq in", "cm2", "lb ft", "kg/m³", "kN", "kn")]
    ['ft', 'in^2', 'cm^2', 'lb*ft', 'kg/m^3', 'kN', 'kn']
    >>> spell("Mm")
    Traceback (most recent call last):
    LookupError: 'Mm' is not a unit that is read
    """
    text = unit.strip(" ")
    if not text:
        return ""
    text = _SIGNS.get(text, text).replace("²", "^2").replace("³", "^3").replace("**", "^")
    text = re.sub(r"\b(?:sq\.?|square) +([A-Za-z]+\.?)(?= *(?:/|$))", r"\1^2", text, flags=re.IGNORECASE)
    text = re.sub(r"(?<=[A-Za-z])[-·⋅](?=[A-Za-z])", "*", text)
    sides = [
        [re.fullmatch(r"([A-Za-z_]+\.?)(?:\^?([234]))?", _GLUED.get(item, item)) for item in items]
        for items in (re.split(r" *\* *| +", _GLUED.get(side.strip(" "), side.strip(" "))) for side in text.split("/"))
    ]
    found = [(_symbol(m[1]), m[2]) for side in sides for m in side if m]
    shape = [len(side) for side in sides]
    symbols = {s for s, _ in found}
    plain = [(s, power) for s, power in found if s in {*_ANGLES, "pct"}]
    wrong = len(symbols) != sum(shape) or (plain and (len(found) > 1 or plain[0][1]))
    if shape not in ([1], [2], [1, 1]) or wrong or (shape == [2] and not symbols & _FORCES):
        raise LookupError(f"'{unit}' is not a unit that is read")
    return ("/" if len(sides) == 2 else "*").join(s + (f"^{power}" if power else "") for s, power in found)


@cache
def exact(unit: str, to: str) -> Fraction:
    """Return how many `to` one `unit` is, as a fraction: a foot is 381/1250 m and no other.

    Raises
    ------
    LookupError
        if a unit is not one of those that are read.
    ValueError
        if the two are of different dimension.
    """
    import pint

    wanted = spell(to)
    try:
        spelled = spell(unit)
    except LookupError:
        what, names = DIMENSIONS.get(wanted, (to, (to,)))
        article = "an" if what[0] in "aeiou" else "a"
        raise LookupError(f"'{unit}' is not a unit that is read; for {article} {what}: {', '.join(names)}") from None
    u = registry(Fraction)
    if (spelled in _ANGLES) != (wanted in _ANGLES):
        raise ValueError(f"'{unit}' can't be turned into '{to}'")
    try:
        return Fraction((Fraction(1) * u.parse_units(spelled)).m_as(u.parse_units(wanted)))
    except pint.DimensionalityError:
        raise ValueError(f"'{unit}' can't be turned into '{to}'") from None


def worth(unit: str, to: str) -> Fraction:
    """Return how many `to` one `unit` is, as a fraction; masses are taken as weights where that is what fits.

    Raises
    ------
    LookupError
        if a unit is not one of those that are read.
    ValueError
        if the two are of different dimension, taken either way.

    Examples
    --------
    >>> float(worth("lb ft", "N m")) == factor("lbf ft", "N m"), worth("lb", "kg") == exact("lb", "kg")
    (True, True)
    """
    with suppress(ValueError):
        return exact(unit, to)
    return exact(re.sub(r"\b(kg|lb|oz)\b", lambda m: _WEIGHTS[m[0]], spell(unit)), to)


def factor(unit: str, to: str) -> float:
    """Return how many `to` one `unit` is.

    Raises
    ------
    LookupError
        if a unit is not one of those that are read.
    ValueError
        if the two are of different dimension.

    Examples
    --------
    >>> factor("in", "m"), factor("ft", "m")
    (0.0254, 0.3048)
    >>> factor("ms", "m")
    Traceback (most recent call last):
    LookupError: 'ms' is not a unit that is read; for a length: mm, cm, m, in, ft
    """
    return float(exact(unit, to))


def is_quantity(value: object) -> bool:
    """Return whether a value carries a unit, of whichever registry."""
    return hasattr(value, "m_as") and hasattr(value, "dimensionality")


def strip(value: Any, to: str) -> float:
    """Return the number that a quantity is in `to`; quantities of any registry are taken.

    Raises
    ------
    ValueError
        if the quantity is of another dimension, or is not one number.
    """
    import pint

    try:
        if (re.search("rad|deg|turn|arc", str(value.units)) is not None) != (to in _ANGLES):
            raise pint.DimensionalityError(value.units, to)
        return float(value.m_as(to or ""))
    except pint.DimensionalityError:
        raise ValueError(f"'{value.units}' can't be turned into '{to}'") from None
    except (pint.PintError, TypeError):
        raise ValueError("not one number with a unit") from None
