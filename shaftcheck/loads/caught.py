"""The blade caught by the water while the boat runs on: it bends the shaft against the stroke."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Case, Force
from shaftcheck.formula import Sym, formula
from shaftcheck.loads.rowers import PUSH_OVER_PULL
from shaftcheck.loads.statics import RARE, Places, arm_blade, arm_hand, hold, mid_blade
from shaftcheck.loads.strokes import seat_force
from shaftcheck.model import Array, Hinged, OnePiece, Shaft, number
from shaftcheck.movement import give
from shaftcheck.strength import END_REVERSED
from shaftcheck.trace import constant

__all__ = ["cases", "drag", "stop"]

WATER = constant(1025.0, Sym("rho", "kg/m**3", "density of sea water"), "from memory")
DRAG = constant(
    2.0,
    Sym("C_d", "", "drag coefficient of a blade near the surface"),
    "1.90 to 2.07 in flume tests, Caplan & Gardner, J Sports Sci 25 (2007) (secondary)",
)
LINK = constant(
    0.9,
    Sym("eta", "", "efficiency of a hinged rig's link where friction helps the water"),
    "common practice, no source",
)


@formula(
    Sym("F_w", "N", "force of the water on the blade"),
    "drag of a plate near the surface, Caplan & Gardner, J Sports Sci 25 (2007), C_d about 2.0 (secondary)",
    rho=Sym("rho", "kg/m**3", "density of water", low=0.0),
    c=Sym("C_d", "", "drag coefficient", low=0.0),
    A=Sym("A", "m**2", "area of the blade", low=0.0),
    v=Sym("v", "m/s", "speed of the boat", low=0.0),
)
def drag(*, rho: Array, c: Array, A: Array, v: Array) -> Array:
    """Drag of a buried blade across the flow."""
    return c * rho * A * v * v / 2


@formula(
    Sym("F_e", "N", "force that stops the boat"),
    "energy of motion into a spring, v sqrt(m k), by definition",
    v=Sym("v", "m/s", "speed of the boat", low=0.0),
    m=Sym("m", "kg", "mass of boat and crew", low=0.0),
    k=Sym("k", "N/m", "stiffness of the shaft at the blade centre", low=0.0),
)
def stop(*, v: Array, m: Array, k: Array) -> Array:
    """Greatest force of a mass stopped by a spring."""
    return v * (m * k) ** 0.5


def cases(shaft: Shaft, at: Places) -> Iterator[Case]:
    """Yield the caught blade: the lesser of what the water can push and what the boat's motion holds.

    What the hands hold lowers it only where the handle is told to be free to leave them. The torque is that of the
    water's force at mid-blade, where hands and motion hold more of it.
    """
    duty, blade, rig = shaft.duty, shaft.blade, shaft.rig
    water = drag(rho=WATER, c=DRAG, A=blade.area, v=duty.speed)
    told = np.isfinite(duty.mass)
    stiff = 1.0 / give(shaft, in_use=False).held
    energy = np.where(told, stop(v=duty.speed, m=np.where(told, duty.mass, 0.0), k=stiff), np.inf)
    a, b = arm_hand(shaft), arm_blade(shaft)
    ratio = rig.ratio if isinstance(rig, Hinged) else number(1.0)
    friction = LINK if isinstance(rig, Hinged) else number(1.0)
    grip = np.maximum(shaft.rower.once, shaft.rower.back / PUSH_OVER_PULL)  # of the class where that is more than told
    free = np.where(duty.handle_free == 1.0, grip * a / (ratio * b * friction), np.inf)
    force = np.minimum(np.minimum(water, energy), free)
    hand = force * b * ratio / a
    more = mid_blade(shaft)
    energy, free = (np.where(there, v * more, np.inf) for there, v in ((told, energy), (duty.handle_free == 1.0, free)))
    most = np.minimum(np.minimum(water, energy), free)
    twist = Force(place="blade", torque=most * blade.off_axis)
    push = Force(place="blade", forward=-force)
    if isinstance(rig, OnePiece):
        forces = hold(shaft, at, (push, twist), ("hand", "lock"))
    else:
        forces = hold(shaft, at, (push, twist, Force(place="hand", forward=hand)), ("", ""))
    yield Case(
        key="caught",
        title="blade caught while under way",
        when="when the blade is caught under way",
        forces=forces,
        seconds=RARE,
        cycles=number(1.0),
        share=number(0.0),
        reversed_end=END_REVERSED,
        repeated=False,
        source="the lesser of drag on the whole blade (C_d 2.0, Caplan & Gardner 2007, secondary) and the energy of "
        "the boat; up to 100 events of a second (judgement)",
        seat=seat_force(shaft, hand),
        pull=number(np.nan),
        mid=np.where(force > 0.0, most / np.where(force > 0.0, force, 1.0), 1.0),
        driver=force,
        driver_unit="N",
        driver_words="the water's force on the blade",
        driver_acts="on the blade",
    )
