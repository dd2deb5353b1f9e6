"""The strokes: steady, hard, start or sprint, the greatest single pull; and backing, which bends the other way."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Case, Force
from shaftcheck.loads.statics import RARE, Places, arm_hand, blade_force, hold, mid_blade
from shaftcheck.model import Array, OnePiece, Shaft, number
from shaftcheck.strength import END_ONE_WAY, END_REVERSED
from shaftcheck.trace import Sym, constant

__all__ = ["cases", "seat_force", "stroke"]

_CLASSES = (
    "handle force by class of rower: a judgement on Steinacker, Int J Sports Med 14 (1993), Hartmann et al., in the "
    "same number, and power arithmetic for the steady stroke"
)
_LIFE = "time and cycles: common practice, no source"


def _at_least(part: float, seconds: float, kind: str) -> tuple[Array, Array]:
    """Return the part of a life's strokes that are at least of a kind, and the time near the peak of each [s]."""
    return (
        constant(part, Sym("p", "", f"part of a life's strokes that are at least {kind}"), _LIFE),
        constant(seconds, Sym("t_p", "s", f"time near the peak of one stroke, {kind}"), _LIFE),
    )


_STEADY, _HARD = _at_least(1.0, 1 / 3, "steady"), _at_least(0.1, 1 / 3, "hard")
_START = _at_least(1 / 600, 0.26, "starts")
_NONE = number(0.0)
"""no pull, no time, no cycles"""


def seat_force(shaft: Shaft, pull: Array) -> Array:
    """Return the force on the lock, or on the inner pin without the link's [N].

    The water's force is taken at mid-blade here, which makes it greater than for strength outboard.
    """
    if not isinstance(shaft.rig, OnePiece):
        return np.abs(pull)
    lever = shaft.blade.centroid - shaft.rig.lock
    return np.abs(pull) * (1.0 + arm_hand(shaft) / lever)


def stroke(shaft: Shaft, at: Places, pull: Array) -> tuple[Force, ...]:
    """Return the forces of a pull at the hand [N]; below zero for a push.

    One-piece oar: hand and blade are both pushed forward, the lock holds aft. Hinged rig: the hand pulls aft while
    the water pushes the blade forward, and each cradle holds its half. The torque is that of the water's force at
    mid-blade, where it is greatest; so is the shear outboard, by the case's `mid`.
    """
    water = blade_force(shaft, pull)
    twist = Force(place="blade", torque=np.abs(water) * mid_blade(shaft) * shaft.blade.off_axis)
    if isinstance(shaft.rig, OnePiece):
        return hold(shaft, at, (Force(place="hand", forward=pull), twist), ("blade", "lock"))
    return hold(shaft, at, (Force(place="hand", forward=-pull), Force(place="blade", forward=water), twist), ("", ""))


def cases(shaft: Shaft, at: Places) -> Iterator[Case]:
    """Yield the strokes of a life, lightest first, and backing."""
    r, strokes = shaft.rower, shaft.duty.strokes
    rows = (
        ("steady", "steady rowing, every stroke", "in steady rowing", r.steady, _STEADY, _HARD[0]),
        ("hard", "hard rowing", "in hard rowing", r.hard, _HARD, _START[0]),
        ("start", "start or sprint", "at a start or in a sprint", r.start, _START, _NONE),
    )
    for key, title, when, pull, (part, seconds), heavier in rows:
        yield Case(
            key=key,
            title=title,
            when=when,
            forces=stroke(shaft, at, pull),
            seconds=strokes * part * seconds,
            cycles=strokes * part,
            share=strokes * (part - heavier),
            reversed_end=END_ONE_WAY,
            repeated=True,
            source=f"{_CLASSES}; {_LIFE}",
            seat=seat_force(shaft, pull),
            pull=pull,
            mid=mid_blade(shaft),
            driver=pull,
            driver_unit="N",
            driver_words="a pull at the hand",
            driver_acts="at the hand",
        )
    yield Case(
        key="once",
        title="greatest single pull",
        when="under the greatest single pull",
        forces=stroke(shaft, at, r.once),
        seconds=RARE,
        cycles=number(1.0),
        share=number(0.0),
        reversed_end=END_ONE_WAY,
        repeated=False,
        source=f"{_CLASSES}; up to 100 such pulls of a second (judgement)",
        seat=seat_force(shaft, r.once),
        pull=r.once,
        mid=mid_blade(shaft),
        driver=r.once,
        driver_unit="N",
        driver_words="a pull at the hand",
        driver_acts="at the hand",
    )
    part, seconds = _START
    yield Case(
        key="back",
        title="backing and holding water",
        when="when backing or holding water",
        forces=stroke(shaft, at, -r.back),
        seconds=strokes * part * seconds,
        cycles=strokes * part,
        share=strokes * part,
        reversed_end=END_REVERSED,
        repeated=True,
        source="push over pull, 251 to 400 N, Das & Wang, Int J Occup Safety Ergonomics 10 (2004) 43-58, times the "
        f"greatest pull (judgement); bends against the stroke, so the reversed end of the fatigue line; {_LIFE}",
        seat=seat_force(shaft, r.back),
        pull=r.back,
        mid=mid_blade(shaft),
        driver=r.back,
        driver_unit="N",
        driver_words="a push at the hand",
        driver_acts="at the hand",
    )
