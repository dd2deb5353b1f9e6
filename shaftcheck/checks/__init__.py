"""Checks. One thing in one place: a new check is a new file and its line in `CHECKS`.

A check is given the beam and the cut at the mesh's points and yields comparisons; it may ask the beam for other
points of its own. `ALWAYS` names what every result must hold, so that a check that yields nothing is noticed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.column import pressed
from shaftcheck.checks.compare import Use
from shaftcheck.checks.lock import lock
from shaftcheck.checks.member import bending, damage, shear
from shaftcheck.checks.unchecked import unchecked

__all__ = ["ALWAYS", "CHECKS", "Check"]

Check = Callable[[Beam, Cut], Iterator[Use]]

CHECKS: tuple[Check, ...] = (bending, shear, damage, pressed, lock, unchecked)

ALWAYS: tuple[str, ...] = (
    "bending",
    "shear, stroke",
    "shear, up and down",
    "life",
    "buckling",
    "bending with thrust",
)
"""comparisons that every shaft has; 'bearing at the lock' for a one-piece oar besides"""
