"""The whole oar: weight, balance, the hand's force to lift the blade clear, swing, and what a break would take."""

from __future__ import annotations

import numpy as np

from shaftcheck.beam import GRAVITY, Beam, Cut, line_mass, mesh, panels
from shaftcheck.checks.member import fibre_parts, form
from shaftcheck.frozen import frozen
from shaftcheck.gauss import gauss
from shaftcheck.model import Array, Hinged, OnePiece, Shaft, number
from shaftcheck.movement import stiffness_at
from shaftcheck.strength import END_ONE_WAY, Z95, expected_break, piece_setting

__all__ = ["Gives", "Whole", "break_stress", "gives_way", "pull_to_break", "whole"]

_NODES, _WEIGHTS = gauss(6)


@frozen
class Whole:
    """Arrays of the batch shape."""

    mass: Array
    """[kg]"""
    balance: Array
    """from the handle end [m]"""
    lift: Array
    """downward force of the hand that lifts the blade clear [N]; nan for a hinged rig, whose halves hang apart"""
    inertia: Array
    """about the lock, or about each half's own pin added up [kg m2]"""


def whole(shaft: Shaft) -> Whole:
    """Return weight, balance, lift and swing; the blade's mass is taken at mid-blade."""
    e = panels(shaft)
    half, middle = (e[..., 1:] - e[..., :-1]) / 2.0, (e[..., 1:] + e[..., :-1]) / 2.0
    x = (middle[..., None] + half[..., None] * _NODES).reshape(*e.shape[:-1], 1, -1)
    dm = line_mass(shaft, x)[..., 0, :] * (half[..., None] * _WEIGHTS).reshape(*e.shape[:-1], -1)
    x = x[..., 0, :]
    blade, at = shaft.blade.mass, shaft.blade.centroid
    rig = shaft.rig
    mass = dm.sum(axis=-1) + blade
    balance = ((dm * x).sum(axis=-1) + blade * at) / mass
    if isinstance(rig, OnePiece):
        pin, pin_blade = rig.lock[..., None], rig.lock
        lift = mass * GRAVITY * (balance - rig.lock) / (rig.lock - rig.hand)
    else:
        pin = np.where(x <= rig.saw[..., None], rig.inner_pin[..., None], rig.outer_pin[..., None])
        pin_blade = rig.outer_pin
        lift = np.full(np.shape(mass), np.nan)
    inertia = (dm * (x - pin) ** 2).sum(axis=-1) + blade * (at - pin_blade) ** 2
    return Whole(mass=mass, balance=balance, lift=lift, inertia=inertia)


def break_stress(beam: Beam, cut: Cut) -> Array:
    """Return the bending stress at which about half of such shafts would have broken, (..., 1, points) [Pa]."""
    one = number(1.0)[None]
    each = [
        expected_break(
            piece_setting(p, seconds=one, cycles=one, reversed_end=END_ONE_WAY[None], repeated=one - 1.0, own=one)
        )
        for p in beam.shaft.pieces
    ]
    return cut.pick(np.stack(np.broadcast_arrays(*each), axis=-1)) * form(beam, cut)


def pull_to_break(beam: Beam) -> tuple[Array, Array, Array]:
    """Return the single pull at which about half would have broken, its 5 and 95 % marks, each (...) [N].

    Lognormal scatter of the modulus of rupture about that mark.
    """
    cut = beam.at(mesh(beam.shaft, 33))
    once = beam.case("once")
    stroke, _, _ = fibre_parts(cut)
    use = (stroke[..., once : once + 1, :] / break_stress(beam, cut)).max(axis=(-2, -1))
    pull = beam.cases[once].pull / use
    v = np.stack(np.broadcast_arrays(*(p.wood.scatter.bending for p in beam.shaft.pieces)), axis=-1).max(axis=-1)
    spread = np.sqrt(np.log1p(v * v))
    return pull, pull * np.exp(-Z95 * spread), pull * np.exp(Z95 * spread)


@frozen
class Gives:
    """Forces at which a mean shaft gives way in things that are told and not demanded; each (...)."""

    blade: Array
    """square to the blade's face at the blade's middle [N]"""
    across: Array
    """at the middle of a span of 1.2 m, on the weakest stretch, the weak way [N]"""
    drop: Array
    """height from which it breaks when it falls flat across an edge [m]"""


SPAN = 1.2
"""distance between supports that an oar is leaned or stepped on over [m] (loads from a person: common practice)"""


def gives_way(beam: Beam) -> Gives:
    """Return the forces, from the expected break of the shaft between hand and neck."""
    shaft, rig = beam.shaft, beam.shaft.rig
    x = mesh(shaft, 17)
    cut = beam.at(x)
    stress = break_stress(beam, cut)
    outer = rig.outer_to if isinstance(rig, Hinged) else rig.lock
    arm = np.clip(shaft.blade.centre[..., None, None] - x, 0.0, None) * (x >= outer[..., None, None])
    blade = 1.0 / (arm / (stress * cut.section.modulus_stroke)).max(axis=(-2, -1))
    between = (x > rig.hand[..., None, None]) & (x < shaft.blade.neck[..., None, None])
    moment = np.where(between, stress * cut.section.modulus_flat, np.inf)
    weakest = moment.argmin(axis=-1)[..., None]
    least = np.take_along_axis(moment, weakest, axis=-1)[..., 0, 0]
    e, _ = stiffness_at(shaft, x, in_use=True)
    bend = np.take_along_axis(e * cut.section.second_flat, weakest, axis=-1)[..., 0, 0]
    energy = least * least * SPAN / (6.0 * bend)
    return Gives(blade=blade, across=4.0 * least / SPAN, drop=energy / (whole(shaft).mass * GRAVITY))
