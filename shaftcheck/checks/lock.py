"""What the lock does to the shaft: bearing across the grain, and the ring of a hollow shaft under it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck import sections
from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.compare import Use, plain_use
from shaftcheck.formula import Sym, formula
from shaftcheck.model import Array, OnePiece
from shaftcheck.trace import constant

__all__ = ["lock"]

CURVED = constant(
    4.0 / np.pi,
    Sym("k", "", "peak over mean of the pressure on a curved seat, 4/pi"),
    "radial pressure as a cosine round the half circumference (derived)",
)


@formula(
    Sym("p", "Pa", "pressure across the grain"),
    "force over projected area, peak 4/pi times the mean on a curved seat (cosine pressure, derived)",
    R=Sym("R", "N", "force of the lock", low=0.0),
    l=Sym("l", "m", "length that the lock presses", low=0.0),
    w=Sym("w", "m", "width of the shaft there", low=0.0),
    k=Sym("k", "", "peak over mean"),
)
def seat_pressure(*, R: Array, l: Array, w: Array, k: Array) -> Array:  # noqa: E741
    """Greatest pressure of the lock on the shaft."""
    return k * R / (l * w)


@formula(
    Sym("sigma_r", "Pa", "bending stress in the ring, across the grain"),
    "Roark's Formulas for Stress and Strain, ring under two opposite line loads, M = W r / pi (W r / pi seen in an "
    "account, formula from memory)",
    R=Sym("R", "N", "force of the lock", low=0.0),
    l=Sym("l", "m", "length that the lock presses", low=0.0),
    r=Sym("r", "m", "radius to the middle of the wall", low=0.0),
    t=Sym("t_w", "m", "wall", low=0.0),
)
def ring_stress(*, R: Array, l: Array, r: Array, t: Array) -> Array:  # noqa: E741
    """Stress in a hollow shaft's wall squeezed by the lock."""
    return 6 * R * r / (np.pi * l * t * t)


def lock(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Bearing across the grain at the lock; where the shaft is hollow there, the ring against tension across."""
    rig = beam.shaft.rig
    if not isinstance(rig, OnePiece):
        return
    rows = tuple(i for i, c in enumerate(beam.cases) if not np.all(np.isnan(c.seat)))
    force = np.stack(np.broadcast_arrays(*(beam.cases[i].seat for i in rows)), axis=-1)[..., None]
    x = rig.lock[..., None, None]
    depth, width, _, wall = np.broadcast_arrays(*sections.at(x, beam.shaft.stations))
    under = beam.at(x)
    dry, wet = (under.limit(name) for name in ("bearing", "wet bearing"))
    capacity = np.where(rig.wet[..., None, None] == 1.0, wet, dry)
    seat = rig.seat[..., None, None]
    demand = seat_pressure(R=force, l=seat, w=width, k=CURVED)
    yield Use(
        check="bearing at the lock",
        kind="dents",
        x=x,
        use=plain_use(demand, capacity),
        demand=demand,
        capacity=capacity + 0.0 * demand,
        unit="Pa",
        source="force of the lock over what it presses, times 4/pi; compression across the grain by the ladder (mean, "
        "no duration on strokes)",
        unknown="compression across the grain, or its green value where the seat stays wet",
        cases=rows,
    )
    tube = wall < np.minimum(depth, width) / 2.0
    if not np.any(tube):
        return
    r = np.where(tube, np.maximum(depth, width) / 2.0 - np.where(tube, wall, 0.0) / 2.0, 0.0)
    held = under.limit("tension across")
    held = held if held.shape[-2] == 1 else held[..., list(rows), :]
    ring = np.where(tube, ring_stress(R=force, l=seat, r=r, t=np.where(tube, wall, 1.0)), 0.0)
    yield Use(
        check="hollow under the lock",
        kind="splits",
        x=x,
        use=plain_use(ring, held),
        demand=ring,
        capacity=held + 0.0 * ring,
        unit="Pa",
        source="ring under two opposite line loads, Roark (from memory), against tension across the grain",
        unknown="tension across the grain; or make the shaft solid under the lock",
        cases=rows,
    )
