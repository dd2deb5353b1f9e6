"""The sizes that advice tries: whole marks of the rulers, liners, bolts and clamps of one system of units.

Each is shown as it was tried, so that whoever does as is printed has what was checked.
"""

from __future__ import annotations

import math

from shaftcheck.frozen import frozen

__all__ = ["INCHES", "METRIC", "Ruler"]

INCH = 0.0254
"""an inch [m] (by definition)"""
POUND = 4.4482216152605
"""a pound-force [N] (by definition)"""
_NEAR = 1e-6
"""of a mark: so near to one, a size lies on it [-]"""


@frozen
class Ruler:
    """What is tried in one system of units, in SI. Which sizes these are is judgement."""

    step: float
    """to which lengths are rounded [m]"""
    mark: float
    """to which sections, and places along the shaft, are rounded [m]"""
    stride: float
    """by which a joint is moved where it may lie elsewhere [m]"""
    liners: tuple[float, ...]
    """thicknesses of liner [m]"""
    bolts: tuple[float, ...]
    """diameters of bolts, the greatest first [m]"""
    forces: tuple[float, ...]
    """of clamps, where a half slips [N]"""
    force: float
    """the unit of a force [N]"""

    def shows(self, place: float) -> bool:
        """Return whether a place along the shaft is shown as it is: whether it lies on a mark."""
        marks = place / self.mark
        return abs(marks - round(marks)) <= _NEAR

    def less(self, force: float, part: float) -> float:
        """Return a part of a force, down to two digits of its unit [N]."""
        units = force * part / self.force
        place = 10.0 ** (math.floor(math.log10(units)) - 1)
        return math.floor(units / place + _NEAR) * place * self.force


METRIC = Ruler(
    step=0.010,
    mark=0.001,
    stride=0.1,
    liners=(0.003, 0.004, 0.005, 0.006, 0.008, 0.010),
    bolts=(0.012, 0.010, 0.008, 0.006, 0.005),
    forces=(500.0, 750.0, 1000.0, 1250.0, 1500.0, 2000.0, 2500.0, 3000.0, 4000.0, 5000.0, 6000.0),
    force=1.0,
)
INCHES = Ruler(
    step=INCH / 2.0,
    mark=INCH / 16.0,
    stride=4.0 * INCH,
    liners=tuple(n * INCH / 32.0 for n in (4, 5, 6, 8, 10, 12)),
    bolts=tuple(n * INCH / 16.0 for n in (8, 6, 5, 4, 3)),
    forces=tuple(n * POUND for n in (100, 150, 200, 250, 300, 400, 500, 600, 800, 1000, 1200, 1400)),
    force=POUND,
)
