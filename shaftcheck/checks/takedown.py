"""A takedown joint: the two halves of a wooden shaft meet in a tube and come apart.

The tube holds each half over its own engaged length, as a stiff socket holds a stiff spigot. Along an engaged length
the moment goes over from the wood to the tube; with t from 0 at the wood's end to 1 at the mouth, and the pressure a
straight line, the wood keeps M_c (3 t^2 - 2 t^3) + V L t^2 / 2.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Beam
from shaftcheck.checks.column import crush
from shaftcheck.checks.compare import NOT_CHECKED, Use, plain_use, settled_use
from shaftcheck.checks.joint import JointKind, Meets, Placing
from shaftcheck.checks.net import net_names
from shaftcheck.checks.placed import clear
from shaftcheck.checks.plug import PLUG_ENDS, beside, solid_reach
from shaftcheck.checks.takedown_build import KEYS, Takedown, build, moved, placed_keys, scale
from shaftcheck.checks.takedown_half import HALVES, LEAST_SHOULDER, LIFT, NO_HOLD, Half, half_of, joined, pulls
from shaftcheck.checks.takedown_notes import apart, marks, told, turned, variants
from shaftcheck.checks.takedown_pin import grip_use, pin_uses
from shaftcheck.checks.takedown_sizes import sizes
from shaftcheck.checks.takedown_tube import tube_area, tube_uses
from shaftcheck.checks.takedown_wood import bearing_uses, shear_uses, wood_uses
from shaftcheck.model import Array, number
from shaftcheck.sections import oval_area

__all__ = ["DECLARES", "TAKEDOWN"]

OF_A_HALF = (
    "bearing",
    "bearing (loose)",
    "inner shear (stiff)",
    "inner shear (springy)",
    "beside the mouth",
    "life beside the mouth",
    "pressed beside the mouth",
    *net_names("wood inside"),
)
OF_THE_TUBE = ("tube bending", "tube shear", "tube in long use", "tube mouth", "swollen wood", "tube buckling")
OF_THE_PIN = (
    "pin shear",
    "pin bending",
    "pin on the wood",
    "pin on the tube",
    *net_names("wood at the pin"),
    "shear at the pin",
    "pins from the end",
    "pins from the edge",
    "tube at the pin",
)
OF_THE_PLACE = (
    "clamp's grip",
    "ends pressed",
    "shoulder pressed",
    "held together",
    "solid inside",
    "clear of the lock",
    "clear of other joints",
)
DECLARES = (
    *(f"takedown, {half} half, {what}" for half in HALVES for what in OF_A_HALF),
    *(f"takedown, {what}" for what in (*OF_THE_TUBE, *OF_THE_PIN, *OF_THE_PLACE)),
    *net_names("takedown, beside the plug"),
)


def check(beam: Beam, j: Takedown) -> Iterator[Use]:
    """Yield each half's bearing, shear and bending, the tube, what holds it together, and its place."""
    halves = [half_of(beam, j, name) for name in HALVES]
    presses: list[tuple[Array, Array]] = []
    for half in halves:
        yield from bearing_uses(beam, j, half, presses)
        yield from shear_uses(beam, j, half)
        yield from wood_uses(beam, j, half)
    yield from tube_uses(beam, j, halves, presses)
    yield from pin_uses(beam, j, halves)
    yield grip_use(beam, j)
    yield _ends(beam, j)
    yield _shoulder(beam, j, halves)
    yield _held(j)
    yield _solid(beam, j)
    yield from _beside_the_plug(beam, j)
    yield from clear(
        beam, j, j.at, "lock, cradle and splice each want their own length of sound shaft (common practice, no source)"
    )


def _ends(beam: Beam, j: Takedown) -> Use:
    """Return the push over the wood's ends; where there is a gap the pins take it."""
    _, pressed = pulls(beam, j)
    size = j.size[LIFT]
    stress = crush(N=pressed, A=oval_area(w=size, d=size))
    cuts = [beam.at(j.at[LIFT] + side * (j.gap[LIFT] / 2.0 + 1e-9)) for side in (-1.0, 1.0)]
    limit = np.minimum(*(c.limit("compression") for c in cuts))
    return Use(
        check="takedown, ends pressed",
        kind="dents",
        x=j.at[LIFT],
        use=plain_use(stress, limit + 0.0 * stress),
        demand=stress,
        capacity=limit + 0.0 * stress,
        unit="Pa",
        source="push along the shaft over the wood's end; where there is a gap the pins take it; crushing along",
        unknown="compression along the grain",
    )


def _shoulder(beam: Beam, j: Takedown, halves: list[Half]) -> Use:
    """Return the push over the shoulder that a spigot leaves on the shaft, should the tube's edge meet it first."""
    push = np.maximum(-beam.at(j.at[LIFT]).axial, 0.0)
    size, parts = j.size[LIFT], []
    for half in halves:
        s = half.beside.section
        height = (np.minimum(s.depth, s.width) - size) / 2.0
        there = height >= LEAST_SHOULDER
        wide = np.where(there, np.minimum(height, j.wall[LIFT]), 1.0)
        stress = np.where(there, crush(N=push, A=tube_area(D_o=size + 2.0 * wide, D_i=size)), 0.0)
        limit = half.beside.limit("compression")
        parts.append((half.mouth + 0.0 * stress, stress, limit + 0.0 * stress))
    x, stress, limit = (joined(v) for v in zip(*parts, strict=True))
    return Use(
        check="takedown, shoulder pressed",
        kind="dents",
        x=x,
        use=plain_use(stress, limit),
        demand=stress,
        capacity=limit,
        unit="Pa",
        source="all the push along the shaft over the ring that tube and shoulder share, should the tube's edge meet "
        "the shoulder before the ends meet; a step under 0.5 mm is none (judgement); crushing along",
        unknown="compression along the grain",
    )


def _held(j: Takedown) -> Use:
    """Return whether it is known what keeps each half from pulling out and turning."""
    loose, glued = np.isnan(j.walls) & np.isnan(j.slips), j.glued == 1.0
    return settled_use(
        check="takedown, held together",
        x=j.at[LIFT],
        open_=(loose | glued)[LIFT],
        source="each half is pinned or clamped against pulling out and turning",
        unknown=NO_HOLD
        if loose.any()
        else "a pin or button in the half that the tube stays on: glue of tube and wood is outside the method",
    )


def _solid(beam: Beam, j: Takedown) -> Use:
    """Return whether a hollow shaft has its plug, or is told to be solid as far as one would reach."""
    span = j.start[LIFT] + (j.end - j.start)[LIFT] * np.linspace(0.0, 1.0, 17)
    section = beam.at(span).section
    hollow = np.isfinite(section.wall).any(axis=-1, keepdims=True)
    needed = (np.maximum(j.inner, j.outer) + 0.0 * j.start)[LIFT] + np.maximum(section.depth, section.width).max(
        axis=-1, keepdims=True
    )
    told = (np.minimum(*solid_reach(beam.shaft.stations, j.at)) - j.gap / 2.0)[LIFT] + 0.0 * needed
    lacks = hollow & np.isnan(j.plug[LIFT])
    has = np.where(lacks, np.nan, np.fmax(j.plug[LIFT], told))
    asked = np.isfinite(told)  # of a shaft that is hollow anywhere
    return Use(
        check="takedown, solid inside",
        kind=NOT_CHECKED if lacks.any() else "splits",
        x=j.at[LIFT],
        use=np.where(asked, plain_use(needed, has), 0.0),
        demand=np.where(asked, needed, 0.0),
        capacity=np.where(asked, has, needed),
        unit="m",
        source="a hollow shaft needs a solid plug, the engaged length and one depth long, its inner end tapered ("
        "common practice, no source)",
        unknown="a solid plug in each half of the hollow shaft: tell its length as plug",
    )


def _beside_the_plug(beam: Beam, j: Takedown) -> Iterator[Use]:
    """Yield the comparisons just beyond both plugs' ends in a hollow shaft; nothing is asked where it is solid."""
    ends = [j.at - j.gap / 2.0 - j.plug - 1e-9, j.at + j.gap / 2.0 + j.plug + 1e-9]
    x = np.stack(np.broadcast_arrays(*ends), axis=-1)[..., None, :]
    x = np.where(np.isnan(x), j.at[LIFT], x)
    there = ~np.isnan(j.plug)[LIFT] & np.isfinite(beam.at(x).section.wall)
    yield from beside(beam, x, there, "takedown, beside the plug", number(PLUG_ENDS["tapered"]))


TAKEDOWN = JointKind(
    kind="takedown",
    keys=KEYS,
    build=build,
    declares=DECLARES,
    check=check,
    told=told,
    variants=variants,
    placing=Placing(middle=lambda j: j.at, moved=moved, keys=placed_keys, scale=scale),
    marks=marks,
    meets=Meets(key="at", beside=lambda j: j.gap / 2.0),
    apart=apart,
    sizes=sizes,
    turned=turned,
)
