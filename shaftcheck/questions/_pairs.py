"""What the questions about two oars share: what was measured over what is computed, and how an oar stands."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from shaftcheck.border.shaftfile import Reading
from shaftcheck.measured import sags_of
from shaftcheck.model import Array, Bools, Shaft
from shaftcheck.studies.pairs import Correction, one_piece
from shaftcheck.whole import whole

__all__ = ["correction", "state_of"]


def correction(reading: Reading, shaft: Shaft) -> tuple[Correction, list[str]]:
    """Return what was measured over what is computed, and what was not measured."""
    told = {e.path: e.value for e in reading.entries.values() if e.path.startswith("measured.")}

    def size_of(key: str) -> float | None:
        value = told.get(f"measured.{key}")
        return None if value is None else float(value)

    w = whole(shaft)
    mass, balance = size_of("weight"), size_of("balance")
    open_ = [name for name, value in (("weight", mass), ("balance", balance)) if value is None]
    factor = 1.0
    sags = sags_of(reading, shaft) if one_piece(shaft) else None
    if sags is None:
        open_.append("sag")
    else:
        factor = sags[0] / sags[1]
    return Correction(
        mass=1.0 if mass is None else mass / float(w.mass),
        balance=0.0 if balance is None else balance - float(w.balance),
        sag=factor,
    ), open_


def state_of(uses: Mapping[str, tuple[Array, Bools]]) -> tuple[str, float, str]:
    """Return the state, the worst known use and its check."""
    check = max(uses, key=lambda k: float(np.nan_to_num(uses[k][0], nan=-1.0, posinf=np.inf)))
    worst = float(np.nan_to_num(uses[check][0], nan=0.0, posinf=np.inf))
    if not worst <= 1.0:
        return "falls short", worst, check
    return ("holds" if all(bool(k) for _, k in uses.values()) else "is not settled"), worst, check
