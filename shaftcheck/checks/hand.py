"""A hollow shaft under the hand: its ring bends across the grain where the hand's force comes into it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.compare import Use, norm, norm_use
from shaftcheck.checks.lock import along, ring_between
from shaftcheck.checks.member import lasting_limit
from shaftcheck.formula import Sym, formula
from shaftcheck.model import Array, Bools
from shaftcheck.trace import constant

__all__ = ["DECLARES", "hands"]

DECLARES = ("hollow under the hand",)
WEAKENS = ("dent", "tack holes", "knot")
"""flaws that a ring under the hand is not settled with"""
HALF = constant(0.040, Sym("e_h", "m", "half the length that a hand presses"), "half of 80 mm")
BREADTH = constant(
    0.080,
    Sym("l_h", "m", "length that a hand presses"),
    "breadth of a man's hand over four fingers, about 85 mm (from memory); both hands are no less",
)
WRAPPED = constant(
    0.048,
    Sym("m_h", "", "bending moment in the ring over force and radius, a hand round half of it"),
    "cosine pressure round the half circumference, held by the shaft's shear flow; ring of Fourier terms (derived)",
)
FLAT = constant(
    1.0 / np.pi,
    Sym("m_h", "", "the same of a section with flats, as between two line loads, 1/pi"),
    "Roark's Formulas for Stress and Strain, ring under two opposite line loads (from memory)",
)


@formula(
    Sym("sigma_r", "Pa", "bending stress in the ring, across the grain"),
    "6 M / (l t^2), a plate bent by the ring's moment (flexure formula, derived)",
    F=Sym("F", "N", "force of the hand", low=0.0),
    l=Sym("l_h", "m", "length that it presses", low=0.0),
    r=Sym("r", "m", "radius to the middle of the wall", low=0.0),
    t=Sym("t_w", "m", "wall", low=0.0),
    m=Sym("m_h", "", "moment in the ring over force and radius", low=0.0),
)
def held_ring(*, F: Array, l: Array, r: Array, t: Array, m: Array) -> Array:  # noqa: E741
    """Stress in a hollow shaft's wall under a hand."""
    return 6 * m * F * r / (l * t * t)


def hands(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Yield the ring under the hand against tension across the grain, in every load case."""
    place = beam.places.index("hand")
    x = beam.centre[..., place][..., None, None]
    start, end = x - HALF, x + HALF
    hollow, r, t = ring_between(beam, start, end)
    under = along(beam, start, end)
    flats = (under.section.exponent != 2.0).any(axis=-1, keepdims=True)
    m = np.where(flats, FLAT, WRAPPED)
    limit = under.limit("tension across").min(axis=-1, keepdims=True)
    ahead, up, still = (
        np.where(hollow, held_ring(F=np.abs(v[..., place])[..., None], l=BREADTH, r=r, t=t, m=m), 0.0)
        for v in (beam.forward, beam.up, beam.still_up)
    )
    held = lasting_limit(beam, limit, up, still, ahead)
    marred: Bools = np.zeros(x.shape, dtype=bool)
    for f in beam.shaft.flaws:
        if f.kind in WEAKENS:
            marred = marred | ((f.start[..., None, None] <= end) & (f.end[..., None, None] >= start))
    demand = norm(ahead, up + still, 2.0)
    yield Use(
        check=DECLARES[0],
        kind="splits",
        x=x,
        use=np.where(hollow, np.where(marred, np.nan, norm_use(ahead, up, 0.0 * ahead, still, held)), 0.0),
        demand=demand,
        capacity=held + 0.0 * demand,
        unit="Pa",
        source="ring of the thinnest wall under 80 mm of hand: cosine pressure round half of it, held by the shear "
        "flow (derived); of a section with flats as between two line loads; the squeeze of fingers and thumb is not "
        "in it; tension across the grain",
        unknown="tension across the grain, or a ring without a flaw; or make the shaft solid under the hand",
    )
