"""The size of a scarf of which can be asked how much it needs: its slope."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from shaftcheck.checks.joint import JointSize
from shaftcheck.checks.scarf_build import Scarf, tips
from shaftcheck.checks.scarf_uses import DECLARES
from shaftcheck.model import Array, Bools, Joint, Shaft

__all__ = ["FLATTEST", "STEEPEST", "from_run", "sizes"]

FLATTEST, STEEPEST = 24.0, 8.0
"""slopes worth trying, run over rise; 1:8 is the steepest that the published factors reach [-]"""


def from_run(run: Array) -> Array:
    """Return slopes of a run over a rise of 1; a last digit steeper than 1:8 would be outside the method."""
    return 1.0 / (run * (1.0 + 1e-9))


def sizes(j: Scarf) -> Iterator[JointSize]:
    """Yield the slope about the same middle; all that a scarf is compared with hangs on it."""

    def slope(shaft: Shaft, j: Scarf, run: Array) -> tuple[Joint, Bools]:
        new = from_run(run)
        start, end = tips(j.middle, new, j.through_depth, shaft.stations)
        fits = (start > shaft.rig.hand) & (end < shaft.blade.neck)
        return replace(j, slope=new, start=start, end=end), np.asarray(fits)

    yield JointSize(
        key="slope",
        told=1.0 / float(j.slope),
        low=STEEPEST,
        high=FLATTEST,
        steps=(0.5, 0.5),
        checks=DECLARES,
        changed=slope,
        dimension="slope",
        together=False,
    )
