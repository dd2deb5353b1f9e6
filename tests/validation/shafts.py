"""Shafts to try the checks on: every number of the model set by the test that uses it."""

from dataclasses import replace

import numpy as np
from hypothesis import strategies as st

from shaftcheck.beam import Beam, Case, Force, build
from shaftcheck.border.woods import find, model_wood
from shaftcheck.loads.statics import hold, places, still
from shaftcheck.model import (
    Blade,
    Duty,
    Hinged,
    Joint,
    OnePiece,
    Piece,
    Rower,
    Shaft,
    Station,
    Values,
    Wood,
    number,
)

SOLID = np.inf
BOX = np.inf

GENERAL = {"steady": 150, "hard": 300, "start": 500, "once": 700, "back": 440, "push": 500, "lever": 400}
"""pulls of a general rower, one hand, that levers [N]"""


def spruce() -> Wood:
    return model_wood(find("Sitka spruce (US)"))


def ash() -> Wood:
    return model_wood(find("White ash"))


def weightless(wood: Wood) -> Wood:
    return replace(wood, gravity=number(0.0))


def plain_wood(*, bending=60e6, shear=8e6, compression=35e6, stiffness=10.5e9, shear_ratio=1 / 16, gravity=0.0) -> Wood:
    """A softwood that is the same at any moisture and does not scatter: only the safety rung is left of the ladder."""
    values = Values(
        bending=number(bending),
        shear=number(shear),
        compression=number(compression),
        bearing=number(4e6),
        tension_across=number(2.5e6),
        stiffness=number(stiffness),
    )
    zero = number(0.0)
    scatter = Values(bending=zero, shear=zero, compression=zero, bearing=zero, tension_across=zero, stiffness=zero)
    return Wood(
        name="plain",
        dry=values,
        green=values,
        scatter=scatter,
        hardwood=zero,
        green_at=number(0.25),
        gravity=number(gravity),
        shear_ratio=number(shear_ratio),
    )


def station(x, depth, width=None, exponent=2.0, wall=SOLID) -> Station:
    return Station(
        x=number(x),
        depth=number(depth),
        width=number(depth if width is None else width),
        exponent=number(exponent),
        wall=number(wall),
    )


def piece(start, end, wood, slope=0.0, moisture=0.12) -> Piece:
    return Piece(start=number(start), end=number(end), wood=wood, slope=number(slope), moisture=number(moisture))


def blade(neck, tip, *, area=0.0, width=0.0, off_axis=0.0, mass=0.0) -> Blade:
    return Blade(
        neck=number(neck),
        tip=number(tip),
        area=number(area),
        width=number(width),
        off_axis=number(off_axis),
        mass=number(mass),
    )


def rower(*, steady=0.0, hard=0.0, start=0.0, once=0.0, back=0.0, push=0.0, lever=0.0) -> Rower:
    return Rower(
        steady=number(steady),
        hard=number(hard),
        start=number(start),
        once=number(once),
        back=number(back),
        push=number(push),
        lever=number(lever),
    )


def duty(*, speed=0.0, mass=np.inf, handle_free=0.0, strokes=3e6) -> Duty:
    return Duty(speed=number(speed), mass=number(mass), handle_free=number(handle_free), strokes=number(strokes))


def in_lock(hand, lock, *, contact=0.0, seat=0.05, wet=0.0) -> OnePiece:
    return OnePiece(hand=number(hand), lock=number(lock), contact=number(contact), seat=number(seat), wet=number(wet))


def on_pins(hand, saw, restart, *, inner, outer, ratio=1.0, spacing=0.1, **seats) -> Hinged:
    """`inner` and `outer`: where the pin is, and what its cradle clamps, as (pin, from, to); `seats`: of both."""
    usual = {
        "wet": 0,
        "clamp": 200,
        "wraps": 1,
        "liner": 0.003,
        "liner_stiffness": 5e7,
        "link_on_shaft": 0,
        "bolted_through": 0,
    }
    return Hinged(
        hand=number(hand),
        saw=number(saw),
        restart=number(restart),
        inner_pin=number(inner[0]),
        inner_from=number(inner[1]),
        inner_to=number(inner[2]),
        outer_pin=number(outer[0]),
        outer_from=number(outer[1]),
        outer_to=number(outer[2]),
        ratio=number(ratio),
        spacing=number(spacing),
        **{k: number(v) for k, v in {**usual, **seats}.items()},
    )


def shaft(*, length, stations, rig, wood=None, pieces=None, joints=(), neck=None, **parts) -> Shaft:
    """`parts`: blade, rower and duty where they are not nothing."""
    return Shaft(
        length=number(length),
        stations=tuple(stations),
        pieces=tuple(pieces) if pieces is not None else (piece(0.0, length, wood or plain_wood()),),
        joints=tuple(Joint(kind=k, start=number(a), end=number(b)) for k, a, b in joints),
        blade=parts.get("blade") or blade(length if neck is None else neck, length),
        rig=rig,
        rower=parts.get("rower") or rower(),
        duty=parts.get("duty") or duty(),
    )


def points(*x) -> np.ndarray:
    """Places along one shaft as the beam takes them."""
    return np.atleast_1d(np.asarray(x[0] if len(x) == 1 else x, dtype=np.float64))[None, :]


def under(oar: Shaft, *forces: Force, supports=("blade", "lock"), key="once", **case) -> Beam:
    """A beam with one load case: these forces with what holds them, for a short time, and no other."""
    at = places(oar)
    one = {
        "key": key,
        "title": key,
        "forces": hold(oar, at, forces, supports),
        "seconds": number(100.0),
        "cycles": number(1.0),
        "share": number(0.0),
        "reversed_end": number(0.28),
        "repeated": False,
        "source": "a test",
        "seat": number(np.nan),
        "pull": number(np.nan),
        "driver": number(1.0),
        "driver_unit": "N",
        "driver_words": "a force",
    }
    return build(oar, [Case(**{**one, **case})], at, still(oar, at), number(1.0))


def force(place, **parts) -> Force:
    return Force(place=place, **{k: number(v) for k, v in parts.items()})


SHAPES = {
    "oval": (2.0, False),
    "superoval": (3.0, False),
    "rectangle": (BOX, False),
    "hollow oval": (2.0, True),
    "hollow superoval": (2.5, True),
    "hollow rectangle": (BOX, True),
}
"""exponent, and whether it has a wall"""
part = st.integers(0, 1000).map(lambda n: n / 1000)


@st.composite
def oars(draw, shapes=("oval",), rigs=("lock", "pins"), wood=spruce, slope=1 / 20, thickest=0.055, **parts):
    """Any oar, loaded every way at once: of one of the shapes all along, in one of the rigs."""

    def between(low, high):
        return low + (high - low) * draw(part)

    total = between(1.8, 3.2)
    hand = between(0.03, 0.15)
    exponent, hollow = SHAPES[draw(st.sampled_from(shapes))]
    sizes = [between(0.03, thickest) for _ in range(3)]
    flatter = [min(d * between(0.75, 1.1), thickest) for d in sizes]
    # an oval of 0.75 to 1 has a least radius of 0.28 of its depth: no wall here folds over itself
    wall = between(0.12, 0.25) * min(*sizes, *flatter) if hollow else SOLID
    places_ = (0.0, 0.4 * total, total)
    stations = [station(x, d, w, exponent, wall) for x, d, w in zip(places_, sizes, flatter, strict=True)]
    if draw(st.sampled_from(rigs)) == "lock":
        where = in_lock(hand, between(0.25, 0.34) * total, contact=draw(st.sampled_from((0.0, 0.04))), seat=0.06)
    else:
        cut, reach = between(0.30, 0.36) * total, between(0.06, 0.14)
        where = on_pins(
            hand, cut, cut + 0.004,
            inner=(cut - 0.01 - reach / 2, cut - 0.01 - reach, cut - 0.01),
            outer=(cut + 0.02 + reach / 2, cut + 0.02, cut + 0.02 + reach),
            ratio=between(0.6, 1.6), wraps=draw(st.sampled_from((0, 1))),
        )  # fmt: skip
    usual = {
        "blade": blade(
            between(0.65, 0.85) * total,
            total,
            area=0.07,
            width=0.13,
            off_axis=between(0.0, 0.03),
            mass=between(0.0, 0.8),
        ),
        "rower": rower(**GENERAL),
        "duty": duty(speed=between(0.0, 3.0), handle_free=draw(st.sampled_from([0, 1]))),
        "pieces": (piece(0.0, total, wood(), slope=slope, moisture=0.16),),
    }
    return shaft(length=total, stations=stations, rig=where, **{**usual, **parts})
