"""Pushing off with the blade: pressed along the shaft, off its axis, with a side force."""

from __future__ import annotations

from collections.abc import Iterator

from shaftcheck.beam import Case, Force
from shaftcheck.loads.statics import RARE, Places, held_by_a_corner, hold
from shaftcheck.model import OnePiece, Shaft, number
from shaftcheck.strength import END_REVERSED
from shaftcheck.trace import Sym, constant

__all__ = ["cases"]

SIDE = constant(0.3, Sym("k_side", "", "side force at the tip over the push"), "judgement: 150 N beside 500 N")


def cases(shaft: Shaft, at: Places) -> Iterator[Case]:
    """Yield the push with its side force each way.

    The tip bears a quarter of the blade's width off the axis (judgement). The hands hold the grip and, near the lock,
    the loom; the tip is held where it pushes, without which nobody could push. Forced square to the blade it may be
    held by a corner, which twists the shaft.
    """
    push, couple = shaft.rower.push, shaft.rower.push * shaft.blade.width / 4.0
    side_force = SIDE * push
    inner = "lock" if isinstance(shaft.rig, OnePiece) else "outer cradle"
    turn = held_by_a_corner(shaft, side_force).torque
    sides = (
        ("forward", Force(place="tip", forward=side_force, couple_up=couple, torque=turn)),
        ("aft", Force(place="tip", forward=-side_force, couple_up=couple, torque=turn)),
        ("up", Force(place="tip", up=side_force, couple_up=couple)),
        ("down", Force(place="tip", up=-side_force, couple_up=-couple)),
    )
    for way, side in sides:
        yield Case(
            key=f"push {way}",
            title=f"pushing off, the tip forced {way}",
            when=f"when pushing off with the tip forced {way}",
            forces=hold(shaft, at, (side, Force(place="tip", along=-push)), ("hand", "lock")),
            seconds=RARE,
            cycles=number(1.0),
            share=number(0.0),
            reversed_end=END_REVERSED,
            repeated=False,
            source="push of a braced person, MIL-STD-1472F push/pull table (from memory); side force, eccentricity and "
            "half the blade's width for the twist: judgement; up to 100 events of a second (judgement)",
            seat=number(float("nan")),
            pull=number(float("nan")),
            driver=push,
            driver_unit="N",
            driver_words="a push along the shaft",
            driver_acts="along the shaft",
            column=(inner, "tip"),
        )
