"""From tables back to the text of a shaft file, and sizes as such a file holds them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from shaftcheck.border.shown import System

__all__ = ["size", "text"]


def size(metres: float, system: System = "metric") -> str:
    """Return a length as a shaft file holds it, to a ten-thousandth of a mm: what is rounded is rounded before."""
    number, unit = (metres * 1000.0, "mm") if system == "metric" else (metres / 0.0254, "in")
    return f"{number:.7f}".rstrip("0").rstrip(".") + f" {unit}"


def text(doc: Mapping[str, Any]) -> str:
    """Return the shaft file of some tables."""
    import tomli_w

    return tomli_w.dumps(dict(doc))
