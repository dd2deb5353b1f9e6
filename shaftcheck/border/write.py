"""From tables back to the text of a shaft file, and sizes as such a file holds them."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from typing import Any, Literal

from shaftcheck.border.shown import System

__all__ = ["figure", "size", "text"]

_DIGITS = 6
"""that a figure which was computed is written with; what is measured on planks has four at most"""


def figure(value: float, side: Literal["near", "down"] = "near") -> str:
    """Return a computed figure as a shaft file holds it, to six significant digits; a limit is rounded down."""
    exact = Decimal(f"{value:.12g}")  # what differs from a round figure by the computer's last digits is round
    step = Decimal(1).scaleb(exact.adjusted() - _DIGITS + 1)
    rounded = exact.quantize(step, ROUND_FLOOR if side == "down" else ROUND_HALF_EVEN)
    return format(rounded.normalize(), "f")


def size(metres: float, system: System = "metric") -> str:
    """Return a length as a shaft file holds it, to a ten-thousandth of a mm: what is rounded is rounded before."""
    number, unit = (metres * 1000.0, "mm") if system == "metric" else (metres / 0.0254, "in")
    return f"{number:.7f}".rstrip("0").rstrip(".") + f" {unit}"


def text(doc: Mapping[str, Any]) -> str:
    """Return the shaft file of some tables."""
    import tomli_w

    return tomli_w.dumps(dict(doc))
