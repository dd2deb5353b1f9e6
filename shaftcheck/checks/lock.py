"""What the lock does to the shaft: bearing across the grain, and the ring of a hollow shaft under it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.compare import Use, norm, norm_use
from shaftcheck.checks.member import lasting_limit
from shaftcheck.formula import Sym, formula
from shaftcheck.model import Array, Bools, OnePiece
from shaftcheck.trace import constant, named

__all__ = ["lock", "lock_forces", "ring_between"]

EDGE, NEAR = 1e-6, 1e-9
"""how far inside a stretch its end points stand, as a part of it; how far beside a section [m]"""

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


_LOOKED_AT = Sym("x_u", "m", "from the handle end to where it is worst under the lock or cradle")


def along(beam: Beam, start: Array, end: Array) -> Cut:
    """Return what there is between two places, each (..., 1, 1) [m]: 17 points, and either side of each section."""
    inside = start + (end - start) * np.linspace(EDGE, 1.0 - EDGE, 17)
    marks = [s.x[..., None, None] + side for s in beam.shaft.stations for side in (-NEAR, NEAR)]
    told = [np.clip(m, inside[..., :1], inside[..., -1:]) for m in marks]
    shape = np.broadcast_shapes(inside.shape[:-1], *(m.shape[:-1] for m in told))
    x = np.concatenate([np.broadcast_to(v, (*shape, v.shape[-1])) for v in (inside, *told)], axis=-1)
    return beam.at(named(x, _LOOKED_AT, "the worst of 17 places, and of either side of each section"))


def ring_between(beam: Beam, start: Array, end: Array) -> tuple[Bools, Array, Array]:
    """Return where a shaft is hollow between two places, and its ring: radius to mid-wall and wall, (..., 1, 1) [m].

    The thinnest wall with the greatest size.
    """
    s = along(beam, start, end).section
    size = np.maximum(s.depth, s.width).max(axis=-1, keepdims=True)
    walls = np.where(s.wall < np.minimum(s.depth, s.width) / 2.0, s.wall, np.inf)
    wall = walls.min(axis=-1, keepdims=True)
    hollow = np.isfinite(wall)
    t = np.where(hollow, wall, size / 2.0)
    return hollow, (size - t) / 2.0, t


def lock_forces(beam: Beam) -> tuple[Array, Array, Array]:
    """Return the lock's force in every case: fore and aft, up or down, and up of the weight, (..., cases, 1) [N].

    It is what holds the beam there; in strokes fore and aft no less than with the water's force at mid-blade.
    """
    place = beam.places.index("lock")
    stated = np.stack(np.broadcast_arrays(*(np.where(np.isnan(c.seat), 0.0, c.seat) for c in beam.cases)), axis=-1)
    ahead = np.maximum(np.abs(beam.forward[..., place]), stated)
    return ahead[..., None], np.abs(beam.up[..., place])[..., None], np.abs(beam.still_up[..., place])[..., None]


def lock(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Bearing across the grain at the lock; where the shaft is hollow there, the ring against tension across."""
    rig = beam.shaft.rig
    if not isinstance(rig, OnePiece):
        return
    x, seat = rig.lock[..., None, None], rig.seat[..., None, None]
    under = along(beam, x - seat / 2.0, x + seat / 2.0)
    s = under.section
    width = s.width.min(axis=-1, keepdims=True)
    least = np.minimum(s.depth, s.width).min(axis=-1, keepdims=True)
    dry, wet = (under.limit(name).min(axis=-1, keepdims=True) for name in ("bearing", "wet bearing"))
    capacity = np.where(rig.wet[..., None, None] == 1.0, wet, dry)
    ahead, up, still = lock_forces(beam)
    across = seat_pressure(R=ahead, l=seat, w=width, k=CURVED)
    upward, standing = (seat_pressure(R=force, l=seat, w=least, k=CURVED) for force in (up, still))
    demand = norm(across, upward + standing, 2.0)
    yield Use(
        check="bearing at the lock",
        kind="dents",
        x=x,
        use=norm_use(across, upward, 0.0 * across, standing, capacity),
        demand=demand,
        capacity=capacity + 0.0 * demand,
        unit="Pa",
        source="force of the lock over what it presses, times 4/pi, in every load case, the weight standing; least "
        "size within that length, for a force up or down the lesser of depth and width (judgement); compression across "
        "the grain by the ladder (mean, no duration on strokes)",
        unknown="compression across the grain, or its green value where the seat stays wet",
    )
    if not any(np.any(np.isfinite(station.wall)) for station in beam.shaft.stations):
        return
    # the lock's ends press what lies a depth beyond them, too
    middle = beam.at(x).section
    reach = seat / 2.0 + np.maximum(middle.depth, middle.width)
    hollow, r, t = ring_between(beam, x - reach, x + reach)
    if not np.any(hollow):
        return
    held = along(beam, x - reach, x + reach).limit("tension across").min(axis=-1, keepdims=True)
    ring, ring_up, ring_still = (
        np.where(hollow, ring_stress(R=force, l=seat, r=r, t=t), 0.0) for force in (ahead, up, still)
    )
    total = norm(ring, ring_up + ring_still, 2.0)
    held = lasting_limit(beam, held, ring_up, ring_still, ring)
    yield Use(
        check="hollow under the lock",
        kind="splits",
        x=x,
        use=np.where(hollow, norm_use(ring, ring_up, 0.0 * ring, ring_still, held), 0.0),
        demand=total,
        capacity=held + 0.0 * total,
        unit="Pa",
        source="ring under two opposite line loads, Roark (from memory), of the thinnest wall under the lock and a "
        "depth beyond, against tension across the grain",
        unknown="tension across the grain; or make the shaft solid under the lock and a depth beyond",
    )
