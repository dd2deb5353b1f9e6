"""Where a joint may not lie: nothing clamps over any part of it, no other joint, and no edge of either close to it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from shaftcheck import sections
from shaftcheck.beam import Beam
from shaftcheck.checks.compare import Use, bar_use
from shaftcheck.model import Array, Bools, Joint, OnePiece, Piece, Shaft

__all__ = ["clear", "follow", "overlap", "reach"]


def overlap(a0: Array, a1: Array, b0: Array, b1: Array) -> Array:
    """Return the length that two stretches share [m]; nothing below zero."""
    shared: Array = np.maximum(np.minimum(a1, b1) - np.maximum(a0, b0), 0.0)
    return shared


def reach(shaft: Shaft, x: Array) -> Array:
    """Return how far the unrest of an edge at x (...) reaches along the shaft: its greater size there [m]."""
    depth, width, _, _ = sections.at(x[..., None, None], shaft.stations)
    far: Array = np.maximum(depth, width)[..., 0, 0]
    return far


def clear(beam: Beam, j: Joint, x: Array, source: str) -> Iterator[Use]:
    """Yield the two rules of place that must be kept: clear of the lock or cradles, and of other joints.

    A cradle's mouth and a joint's end raise the stress beside them, as far as the shaft's greater size (Saint-Venant;
    the figure is judgement). So far from them a joint keeps clear, too.

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
        near, far = (reach(beam.shaft, x) for x in (rig.inner_from, rig.outer_to))
        over = overlap(j.start, j.end, rig.inner_from - near, rig.outer_to + far)
    others: Array = np.zeros(np.shape(j.start))
    for other in beam.shaft.joints:
        if other is not j:
            near, far = (reach(beam.shaft, x) for x in (other.start, other.end))
            others = others + overlap(j.start, j.end, other.start - near, other.end + far)
    for name, shared in (("the lock", over), ("other joints", others)):
        length = shared[..., None, None]
        yield bar_use(f"{j.kind}, clear of {name}", x[..., None, None], length, 0.0 * length, source)


def follow(
    shaft: Shaft, moved: Array, start: Array, end: Array
) -> tuple[tuple[Piece, ...], tuple[tuple[str, Bools], ...]]:
    """Return the woods with those ends that lie from start to end moved along, and where that can't be."""
    ends = [p.end + 0.0 * moved for p in shaft.pieces]
    for i, p in enumerate(shaft.pieces[:-1]):
        if start - 1e-9 <= p.end <= end + 1e-9:
            ends[i] = p.end + moved
    starts = [shaft.pieces[0].start + 0.0 * moved, *ends[:-1]]
    pieces = tuple(replace(p, start=a, end=b) for p, a, b in zip(shaft.pieces, starts, ends, strict=True))
    crossed = np.zeros(moved.shape, dtype=bool)
    for a, b in zip(starts, ends, strict=True):
        crossed |= ~(b > a)
    return pieces, (("it would lie beyond where other woods meet", crossed),)
