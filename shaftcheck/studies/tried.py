"""Whether shafts hold, looked at as closely as an answer is where it is near: what advice is tried by."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from shaftcheck import engine
from shaftcheck.checks.compare import NOT_CHECKED
from shaftcheck.loads import loaded
from shaftcheck.model import Array, Bools, Shaft, stack

__all__ = ["AT_ONCE", "CLOSE", "hold"]

AT_ONCE = 16
"""shafts that are checked together"""
CLOSE = 0.97
"""use from which a shaft is looked at as closely as an answer is: a mesh alone is off by some thousandths [-]"""


def hold(shafts: Sequence[Shaft], own: Array) -> list[bool]:
    """Return of each shaft whether all that can be checked is known and met.

    Parameters
    ----------
    shafts : single ones, batch shape (), of one make
    own : what the user divides each strength by [-]
    """
    worst = _worst(shafts, own, 0)
    met: Bools = worst <= 1.0
    close = np.flatnonzero(met & (worst >= CLOSE))
    if len(close):
        met[close] = _worst([shafts[int(i)] for i in close], own, 2) <= 1.0
    return [bool(v) for v in met]


def _worst(shafts: Sequence[Shaft], own: Array, rounds: int) -> Array:
    """Return the worst use of each shaft, infinite where one that matters is not known, (n,)."""
    rows = engine.run(loaded(stack(shafts), own), rounds=rounds)
    worst: Array = np.stack([np.where(r.known, r.use, np.inf) for r in rows if r.kind != NOT_CHECKED]).max(axis=0)
    return worst
