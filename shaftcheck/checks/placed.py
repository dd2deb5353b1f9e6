"""Where a joint may not lie: nothing clamps over any part of it, and no other joint."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Beam
from shaftcheck.checks.compare import Use
from shaftcheck.model import Array, Joint, OnePiece

__all__ = ["clear", "overlap"]


def overlap(a0: Array, a1: Array, b0: Array, b1: Array) -> Array:
    """Return the length that two stretches share [m]; nothing below zero."""
    shared: Array = np.maximum(np.minimum(a1, b1) - np.maximum(a0, b0), 0.0)
    return shared


def clear(beam: Beam, j: Joint, x: Array, source: str) -> Iterator[Use]:
    """Yield the two rules of place that must be kept: clear of the lock or cradles, and of other joints.

    Parameters
    ----------
    x : (...) - where the joint is said to be [m]
    source : of the rule
    """
    rig = beam.shaft.rig
    if isinstance(rig, OnePiece):
        half = rig.seat / 2.0
        over = overlap(j.start, j.end, rig.lock - half, rig.lock + half)
    else:
        over = overlap(j.start, j.end, rig.inner_from, rig.outer_to)
    others: Array = np.zeros(np.shape(j.start))
    for other in beam.shaft.joints:
        if other is not j:
            others = others + overlap(j.start, j.end, other.start, other.end)
    for name, shared in (("the lock", over), ("other joints", others)):
        length = shared[..., None, None]
        yield Use(
            check=f"{j.kind}, clear of {name}",
            kind="is badly placed",
            x=x[..., None, None],
            use=np.where(length > 0.0, np.inf, 0.0 * length),
            demand=length,
            capacity=0.0 * length,
            unit="m",
            source=source,
            unknown="",
        )
