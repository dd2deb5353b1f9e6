"""Parts of a shaft that are there and that no check reaches: each stands in the result as not known."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.compare import NOT_CHECKED, Use
from shaftcheck.model import Hinged

__all__ = ["CHECKED_JOINTS", "unchecked"]

CHECKED_JOINTS: frozenset[str] = frozenset()
"""kinds of joint that have a check of their own"""


def unchecked(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Every joint without a check, and the cradles of a hinged rig."""
    parts = [(j.kind, (j.start + j.end) / 2.0) for j in beam.shaft.joints if j.kind not in CHECKED_JOINTS]
    rig = beam.shaft.rig
    if isinstance(rig, Hinged):
        parts += [
            ("inner cradle", (rig.inner_from + rig.inner_to) / 2.0),
            ("outer cradle", (rig.outer_from + rig.outer_to) / 2.0),
        ]
    for kind, place in parts:
        nan = np.full((*np.shape(place), 1, 1), np.nan)
        yield Use(
            check=kind,
            kind=NOT_CHECKED,
            x=place[..., None, None],
            use=nan,
            demand=nan,
            capacity=nan,
            unit="",
            source="none yet",
            unknown=f"the check of a {kind}: the method does not reach it yet",
        )
