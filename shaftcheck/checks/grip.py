"""The grip of each cradle of a hinged rig: what pulls a half along and turns it, against the clamp's friction."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.compare import Use, norm_use
from shaftcheck.checks.dowel import SLANT, surface_force
from shaftcheck.formula import Sym, formula
from shaftcheck.model import Array, Hinged
from shaftcheck.trace import constant

__all__ = ["DECLARES", "EXPECTED", "FRICTION", "SCATTER", "grips"]

FRICTION = constant(
    0.2,
    Sym("mu", "", "friction of wood in its seat"),
    "Wood Handbook ch. 4: 0.3 to 0.5 for dry smooth wood on hard surfaces (from memory); two thirds of the low end, on "
    "metal and liner alike (judgement)",
)

EXPECTED = 0.3
"""friction of wood in its seat to expect in the mean: the low end of what is published, as above (judgement) [-]"""
SCATTER = 0.25
"""coefficient of variation of that friction; 0.2 is then its lower 5 %, about (judgement) [-]"""


@formula(
    Sym("F_g", "N", "force that a cradle's grip takes"),
    "friction of both seats, each pressed with the clamp's force (Coulomb), over the user's own divisor (derived)",
    mu=Sym("mu", "", "friction of wood in its seat", low=0.0),
    Q=Sym("Q", "N", "force with which each cradle squeezes", low=0.0),
    n=Sym("n_own", "", "what the user divides each strength by", low=0.0),
)
def clamp_grips(*, mu: Array, Q: Array, n: Array) -> Array:
    """Force along or around a half at which it slips between its two seats."""
    return 2 * mu * Q / n


DECLARES = ("inner cradle, grip", "outer cradle, grip")


def grips(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Yield for each half what pulls it along and turns it, against the friction of its clamp."""
    rig = beam.shaft.rig
    if isinstance(rig, Hinged):
        yield _grip(beam, rig, "inner", rig.inner_from, rig.inner_to)
        yield _grip(beam, rig, "outer", rig.outer_from, rig.outer_to)


def _grip(beam: Beam, rig: Hinged, which: str, start: Array, end: Array) -> Use:
    lift = (..., None, None)
    place = beam.places.index(f"{which} cradle")
    inside = np.linspace(1e-6, 1.0 - 1e-6, 5)
    section = beam.at(start[lift] + (end - start)[lift] * inside).section
    size = np.minimum(section.depth, section.width).min(axis=-1, keepdims=True)
    # what the cradle gives to its half: along it, around it, and, its weight, up; hung upright it is along
    along, torque, still = (np.abs(v[..., place])[..., None] for v in (beam.along, beam.torque, beam.still_up))
    carried = np.array([[float(c.weight_is_load)] for c in beam.cases])
    along = along + carried * np.abs(beam.up[..., place])[..., None]
    if which == "inner":  # the hand's force slants; the water's stands square to the blade
        pull = np.stack(np.broadcast_arrays(*(c.pull for c in beam.cases)), axis=-1)[..., None]
        along = along + SLANT * np.nan_to_num(np.abs(pull), nan=0.0)
    turn = surface_force(N=0.0 * along, T=torque, D=size)
    demand = surface_force(N=along + still, T=torque, D=size)
    friction = FRICTION if beam.friction is None else beam.friction[lift]
    capacity = clamp_grips(mu=friction, Q=rig.clamp[lift], n=beam.own[lift]) + 0.0 * demand
    return Use(
        check=f"{which} cradle, grip",
        kind="slips",
        x=((start + end) / 2.0)[lift],
        use=norm_use(along, turn, still, 0.0 * turn, capacity),
        demand=demand,
        capacity=capacity,
        unit="N",
        source="what pushes the half along, the hand's slant (0.36 of the pull, on the inner half) and its weight, as "
        "if hung upright; with the torque at half its least size, at right angles on the same friction: twice the "
        "clamp's force times 0.2 (judgement on Wood Handbook ch. 4, from memory). No credit for a bolt through the "
        "half, an oval in its seat or what the load itself presses",
        unknown="clamp_force, with which each cradle squeezes",
    )
