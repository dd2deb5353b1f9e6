"""Statics of both rigs: where forces can act, and what holds them in equilibrium."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from shaftcheck.beam import PER_MASS, Force, symbols, weight
from shaftcheck.model import Array, Hinged, OnePiece, Shaft, number
from shaftcheck.trace import named

__all__ = [
    "RARE",
    "Places",
    "arm_blade",
    "arm_hand",
    "blade_force",
    "held_by_a_corner",
    "hold",
    "mid_blade",
    "places",
    "still",
]

RARE = number(100.0)
"""time near the peak of what happens seldom, added up: up to 100 events of a second (judgement) [s]"""
_BALANCE = "equilibrium about the other support (by definition)"
Places = Mapping[str, tuple[Array, Array]]


def places(shaft: Shaft) -> dict[str, tuple[Array, Array]]:
    """Return every place where a force can act, by name: its centre and the length it is spread over [m]."""
    rig, blade = shaft.rig, shaft.blade
    zero = number(0.0)
    out = {"hand": (rig.hand, zero), "blade": (blade.centre, zero), "tip": (blade.tip, zero)}
    if isinstance(rig, OnePiece):
        out["lock"] = (rig.lock, rig.contact)
    else:
        out["inner cradle"] = ((rig.inner_from + rig.inner_to) / 2.0, rig.inner_to - rig.inner_from)
        out["outer cradle"] = ((rig.outer_from + rig.outer_to) / 2.0, rig.outer_to - rig.outer_from)
    ends, mass, _ = weight(shaft)
    for i in range(mass.shape[-1]):
        out[f"weight {i}"] = ((ends[..., i] + ends[..., i + 1]) / 2.0, ends[..., i + 1] - ends[..., i])
    out["blade weight"] = (blade.centroid, blade.tip - blade.neck)
    return out


def still(shaft: Shaft, at: Places) -> tuple[Force, ...]:
    """Return the oar's own weight with what carries it: hand and lock, or each half's cradle."""
    _, mass, first = weight(shaft)
    falling = [
        Force(place=f"weight {i}", up=-(PER_MASS * mass[..., i]), couple_up=-(PER_MASS * first[..., i]))
        for i in range(mass.shape[-1])
    ]
    falling.append(Force(place="blade weight", up=-(PER_MASS * shaft.blade.mass)))
    return hold(shaft, at, falling, ("hand", "lock"))


def arm_hand(shaft: Shaft) -> Array:
    """Return the lever of the hand about the lock or the inner pin [m]."""
    rig = shaft.rig
    return (rig.lock if isinstance(rig, OnePiece) else rig.inner_pin) - rig.hand


def arm_blade(shaft: Shaft) -> Array:
    """Return the lever of the blade's force, taken for strength, about the lock or the outer pin [m]."""
    rig = shaft.rig
    return shaft.blade.centre - (rig.lock if isinstance(rig, OnePiece) else rig.outer_pin)


def blade_force(shaft: Shaft, pull: Array) -> Array:
    """Return the force at the blade centre that balances a pull at the hand [N]; no friction is credited.

    One-piece oar: F_b = F_h a / b. Hinged rig: F_b = F_h a / (r b), by virtual work of two halves that swing in the
    ratio r (blade half over hand half).
    """
    ratio = shaft.rig.ratio if isinstance(shaft.rig, Hinged) else number(1.0)
    return pull * arm_hand(shaft) / (ratio * arm_blade(shaft))


def mid_blade(shaft: Shaft) -> Array:
    """Return how much greater the water's force is at mid-blade than where it is taken for bending [-].

    Further in it has less of a lever, so for the same pull it is greater: that counts for torque.
    """
    rig, blade = shaft.rig, shaft.blade
    about = rig.lock if isinstance(rig, OnePiece) else rig.outer_pin
    return np.maximum(arm_blade(shaft) / (blade.centroid - about), 1.0)


def held_by_a_corner(shaft: Shaft, force: Array) -> Force:
    """Return the torque of a force square to the blade at a corner of its tip, half its width off the axis.

    A judgement, the worst place: the whole force at one corner. Nothing is taken off for a loom that turns in its lock
    or a hand that lets it turn.
    """
    return Force(place="tip", torque=np.abs(force) * shaft.blade.width / 2.0)


def hold(shaft: Shaft, at: Places, forces: Iterable[Force], supports: tuple[str, str]) -> tuple[Force, ...]:
    """Return the forces with what holds them: two supports of a one-piece oar, or each half's cradle.

    In a one-piece oar, force along the shaft and torque are taken by the hand; in a hinged rig by the cradle.

    Parameters
    ----------
    supports : the two places that hold a one-piece oar square to its axis; not used for a hinged rig
    """
    forces = tuple(forces)
    if isinstance(shaft.rig, Hinged):
        cradles = ((shaft.rig, "inner cradle", True), (shaft.rig, "outer cradle", False))
        return (*forces, *(_cradled(rig, at, forces, name, inner) for rig, name, inner in cradles))
    (xp, _), (xq, _) = at[supports[0]], at[supports[1]]
    reactions: dict[str, dict[str, Array]] = {name: {} for name in supports}
    for push, couple in (("forward", "couple_forward"), ("up", "couple_up")):
        total: Array = number(0.0)
        turn: Array = number(0.0)
        for f in forces:
            total = total + getattr(f, push)
            turn = turn + getattr(f, push) * (at[f.place][0] - xq) + getattr(f, couple)
        p = named(-turn / (xp - xq), symbols(supports[0])[int(push == "up")], _BALANCE)
        reactions[supports[0]][push] = p
        reactions[supports[1]][push] = -total - p
    along = -sum((f.along for f in forces), start=number(0.0))
    torque = -sum((f.torque for f in forces), start=number(0.0))
    held = [Force(place=name, **r) for name, r in reactions.items()]
    return (*forces, *held, Force(place="hand", along=along, torque=torque))


def _cradled(rig: Hinged, at: Places, forces: tuple[Force, ...], name: str, inner: bool) -> Force:
    """Return what a cradle gives to its half."""
    centre = at[name][0]
    sums = {k: number(0.0) for k in ("forward", "up", "along", "couple_forward", "couple_up", "torque")}
    for f in forces:
        x = at[f.place][0]
        mine = np.where((x <= rig.saw) == inner, 1.0, 0.0)
        for key in ("forward", "up", "along", "torque"):
            sums[key] = sums[key] - mine * getattr(f, key)
        for push, couple in (("forward", "couple_forward"), ("up", "couple_up")):
            sums[couple] = sums[couple] - mine * (getattr(f, push) * (x - centre) + getattr(f, couple))
    return Force(place=name, **sums)
