"""The oar used as a lever: a hand's force sideways, the tip or mid-blade against something, about either axis."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Case, Force
from shaftcheck.loads.statics import RARE, Places, arm_hand, hold
from shaftcheck.model import OnePiece, Shaft, number
from shaftcheck.strength import END_REVERSED

__all__ = ["cases"]


def cases(shaft: Shaft, at: Places) -> Iterator[Case]:
    """Yield the lever each way, where the duty asks for it (a force above zero anywhere in the batch).

    In a hinged rig the hand's moment is taken to reach the outer half unchanged, through whatever ties the halves in
    that plane: an upper bound without credit for the rig's own give.
    """
    force = shaft.rower.lever
    if not np.any(force != 0.0):
        return
    for way, sign, push in (
        ("forward", 1.0, "forward"),
        ("aft", -1.0, "forward"),
        ("up", 1.0, "up"),
        ("down", -1.0, "up"),
    ):
        pull = sign * force
        hand = Force(place="hand", **{push: pull})
        if isinstance(shaft.rig, OnePiece):
            forces = hold(shaft, at, (hand,), ("tip", "lock"))
        else:
            tip = pull * arm_hand(shaft) / (shaft.blade.tip - shaft.rig.outer_pin)
            forces = hold(shaft, at, (hand, Force(place="tip", **{push: tip})), ("", ""))
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
            source="400 N one hand, Das & Wang (2004); 700 N braced (judgement); up to 100 events of a second",
            seat=number(float("nan")),
            pull=number(float("nan")),
            driver=force,
            driver_unit="N",
            driver_words="a hand's force on the oar as a lever",
            driver_acts="at the hand",
        )
