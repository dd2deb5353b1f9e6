"""The oar used as a lever: a hand's force sideways, the tip or mid-blade against something, about either axis."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Case, Force
from shaftcheck.loads.statics import RARE, Places, arm_hand, held_by_a_corner, hold
from shaftcheck.model import OnePiece, Shaft, number
from shaftcheck.strength import END_REVERSED

__all__ = ["cases"]


def cases(shaft: Shaft, at: Places) -> Iterator[Case]:
    """Yield the lever each way, where the duty asks for it (a force above zero anywhere in the batch).

    In a hinged rig the hand's moment reaches the outer half over the link, by its ratio, in the plane that the halves
    swing in, as in the strokes; square to that plane it is taken to reach it unchanged, through whatever ties the
    halves, an upper bound without credit for the rig's own give. Forced square to the blade, a corner holds it, which
    twists the shaft. What bends takes the tip; torque and shear by itself take mid-blade, where the force is greater.
    """
    force = shaft.rower.lever
    if not np.any(force != 0.0):
        return
    rig, blade = shaft.rig, shaft.blade
    about = rig.lock if isinstance(rig, OnePiece) else rig.outer_pin
    mid = np.maximum((blade.tip - about) / (blade.centroid - about), 1.0)
    for way, sign, push in (
        ("forward", 1.0, "forward"),
        ("aft", -1.0, "forward"),
        ("up", 1.0, "up"),
        ("down", -1.0, "up"),
    ):
        pull = sign * force
        hand = Force(place="hand", **{push: pull})
        if isinstance(rig, OnePiece):
            tip = pull * arm_hand(shaft) / (blade.tip - rig.lock)
            acts: tuple[Force, ...] = (hand,)
        else:
            ratio = rig.ratio if push == "forward" else number(1.0)
            tip = pull * arm_hand(shaft) / (ratio * (blade.tip - rig.outer_pin))
            acts = (hand, Force(place="tip", **{push: tip}))
        if push == "forward":
            acts = (*acts, held_by_a_corner(shaft, tip * mid))
        forces = hold(shaft, at, acts, ("tip", "lock"))
        yield Case(
            key=f"lever {way}",
            title=f"used as a lever, the hand forcing {way}",
            when=f"when it is used as a lever, the hand forcing {way}",
            forces=forces,
            seconds=RARE,
            cycles=number(1.0),
            share=number(0.0),
            reversed_end=END_REVERSED,
            repeated=False,
            source="400 N one hand, Das & Wang (2004); 700 N braced (judgement); a corner of the blade holds it, "
            "half its width off the axis, with the force at mid-blade for torque (judgement); up to 100 events of a "
            "second",
            seat=number(float("nan")),
            pull=number(float("nan")),
            mid=mid if push == "forward" else number(1.0),
            driver=force,
            driver_unit="N",
            driver_words="a hand's force on the oar as a lever",
            driver_acts="at the hand",
        )
