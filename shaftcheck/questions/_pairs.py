"""What the questions about two oars share: what was measured over what is computed, and how an oar stands."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from shaftcheck.border.shaftfile import Reading
from shaftcheck.model import Array, Bools, Shaft, number
from shaftcheck.movement import give
from shaftcheck.studies.pairs import Correction, one_piece
from shaftcheck.whole import whole

__all__ = ["correction", "percent", "state_of"]


def correction(reading: Reading, shaft: Shaft) -> tuple[Correction, list[str]]:
    """Return what was measured over what is computed, and what was not measured."""
    told = {e.path: e.value for e in reading.entries.values() if e.path.startswith("measured.")}

    def size_of(key: str) -> float | None:
        value = told.get(f"measured.{key}")
        return None if value is None else float(value)

    w = whole(shaft)
    mass, balance, sag = size_of("weight"), size_of("balance"), size_of("sag")
    hung, at, held = size_of("sag_weight"), size_of("sag_at"), told.get("measured.sag_held")
    open_ = [name for name, value in (("weight", mass), ("balance", balance)) if value is None]
    factor = 1.0
    if None in (sag, hung, at, held) or not one_piece(shaft):
        open_.append("sag")
    else:
        g = give(shaft, at=number(float(at or 0.0)))
        unit = g.clamped if held == "clamped" else g.held
        factor = float(sag or 0.0) / (float(hung or 0.0) * 9.80665 * float(unit))
    return Correction(
        mass=1.0 if mass is None else mass / float(w.mass),
        balance=0.0 if balance is None else balance - float(w.balance),
        sag=factor,
    ), open_


def state_of(uses: Mapping[str, tuple[Array, Bools]]) -> tuple[str, float, str]:
    """Return the state, the worst known use and its check."""
    check = max(uses, key=lambda k: float(np.nan_to_num(uses[k][0], nan=-1.0)))
    worst = float(np.nan_to_num(uses[check][0], nan=0.0))
    if not worst <= 1.0:
        return "falls short", worst, check
    return ("holds" if all(bool(k) for _, k in uses.values()) else "is not settled"), worst, check


def percent(value: float) -> str:
    """Return a use in whole percent, rounded up."""
    if np.isnan(value):
        return "not known"
    return "beyond any limit" if np.isinf(value) else f"{np.ceil(value * 100.0 - 1e-9):.0f} %"
