"""Units at the border: the one registry, and the only module that uses pint.

The registry is made on first use from a small unit file of our own without prefixes, which is at once the list of
units that are read and the reason that a start is quick.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import as_file, files
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pint

__all__ = ["factor", "is_quantity", "registry", "strip", "units"]


@cache
def registry() -> pint.UnitRegistry[Any]:
    """Return the registry of the package."""
    import pint

    with as_file(files("shaftcheck.border") / "units.txt") as path:
        return pint.UnitRegistry(str(path), cache_folder=None)


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
def factor(unit: str, to: str) -> float:
    """Return how many `to` one `unit` is.

    Raises
    ------
    LookupError
        if a unit is not one of those that are read.
    ValueError
        if the two are of different dimension.
    """
    import pint

    u = registry()
    try:
        return float((1.0 * u.parse_units(unit)).m_as(u.parse_units(to)))
    except pint.UndefinedUnitError as e:
        raise LookupError(f"'{e.unit_names}' is not a unit that is read here") from None
    except pint.DimensionalityError:
        raise ValueError(f"'{unit}' can't be turned into '{to}'") from None
    except (pint.PintError, SyntaxError, TypeError, AttributeError, ValueError):
        raise LookupError(f"'{unit}' can't be read as a unit") from None


def is_quantity(value: object) -> bool:
    """Return whether a value carries a unit, of whichever registry."""
    return hasattr(value, "m_as") and hasattr(value, "dimensionality")


def strip(value: Any, to: str) -> float:
    """Return the number that a quantity is in `to`; quantities of any registry are taken.

    Raises
    ------
    ValueError
        if the quantity is of another dimension.
    """
    import pint

    try:
        return float(value.m_as(to or ""))
    except pint.DimensionalityError:
        raise ValueError(f"'{value.units}' can't be turned into '{to}'") from None
