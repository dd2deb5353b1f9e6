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
from shaftcheck.checks.compare import NOT_CHECKED, Use, plain_use
from shaftcheck.checks.joint import JointKind
from shaftcheck.checks.placed import clear
from shaftcheck.checks.takedown_build import KEYS, Takedown, build
from shaftcheck.checks.takedown_half import HALVES, LIFT, NO_PIN, half_of, pulls
from shaftcheck.checks.takedown_notes import told, variants
from shaftcheck.checks.takedown_pin import pin_uses
from shaftcheck.checks.takedown_tube import tube_uses
from shaftcheck.checks.takedown_wood import bearing_uses, shear_uses, wood_uses
from shaftcheck.model import Array
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
    "wood inside",
)
OF_THE_TUBE = ("tube bending", "tube shear", "tube in long use", "tube mouth", "tube buckling")
OF_THE_PIN = ("pin shear", "pin bending", "pin on the wood", "pin on the tube", "wood at the pin", "tube at the pin")
OF_THE_PLACE = ("ends pressed", "held together", "solid inside", "clear of the lock", "clear of other joints")
DECLARES = (
    *(f"takedown, {half} half, {what}" for half in HALVES for what in OF_A_HALF),
    *(f"takedown, {what}" for what in (*OF_THE_TUBE, *OF_THE_PIN, *OF_THE_PLACE)),
)


def check(beam: Beam, j: Takedown) -> Iterator[Use]:
    """Yield each half's bearing, shear and bending, the tube, what holds it together, and its place."""
    halves = [half_of(beam, j, name) for name in HALVES]
    presses: list[tuple[Array, Array]] = []
    for half in halves:
        yield from bearing_uses(beam, j, half, presses)
        yield from shear_uses(j, half)
        yield from wood_uses(beam, j, half)
    yield from tube_uses(beam, j, halves, presses)
    yield from pin_uses(beam, j, halves)
    yield from _ends(beam, j)
    yield from clear(
        beam, j, j.at, "lock, cradle and splice each want their own length of sound shaft (common practice, no source)"
    )


def _ends(beam: Beam, j: Takedown) -> Iterator[Use]:
    _, pressed = pulls(beam, j)
    size = j.size[LIFT]
    stress = crush(N=pressed, A=oval_area(w=size, d=size))
    cuts = [beam.at(j.at[LIFT] + side * (j.gap[LIFT] / 2.0 + 1e-9)) for side in (-1.0, 1.0)]
    limit = np.minimum(*(c.limit("compression") for c in cuts))
    yield Use(
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
    loose, glued = np.isnan(j.walls), j.glued == 1.0
    known = np.where(loose | glued, np.nan, 0.0)[LIFT]
    yield _condition(
        "held together",
        j.at[LIFT],
        known,
        "each half is pinned against pulling out and turning",
        NO_PIN
        if loose.any()
        else "a pin or button in the half that the tube stays on: glue of tube and wood is outside the method",
    )
    span = j.start[LIFT] + (j.end - j.start)[LIFT] * np.linspace(0.0, 1.0, 17)
    section = beam.at(span).section
    hollow = np.isfinite(section.wall).any(axis=-1, keepdims=True)
    needed = (np.maximum(j.inner, j.outer) + 0.0 * j.start)[LIFT] + np.maximum(section.depth, section.width).max(
        axis=-1, keepdims=True
    )
    has = j.plug[LIFT] + 0.0 * needed
    lacks = hollow & np.isnan(has)
    yield Use(
        check="takedown, solid inside",
        kind=NOT_CHECKED if lacks.any() else "splits",
        x=j.at[LIFT],
        use=np.where(hollow, plain_use(needed, has), 0.0),
        demand=np.where(hollow, needed, 0.0),
        capacity=np.where(hollow, has, needed),
        unit="m",
        source="a hollow shaft needs a solid plug, the engaged length and one depth long, its inner end tapered ("
        "common practice, no source)",
        unknown="a solid plug in each half of the hollow shaft: tell its length as plug",
    )


def _condition(name: str, x: Array, known: Array, source: str, unknown: str) -> Use:
    return Use(
        check=f"takedown, {name}",
        kind=NOT_CHECKED if np.isnan(known).any() else "splits",
        x=x,
        use=known,
        demand=known,
        capacity=known + 1.0,
        unit="",
        source=source,
        unknown=unknown,
    )


TAKEDOWN = JointKind(
    kind="takedown", keys=KEYS, build=build, declares=DECLARES, check=check, told=told, variants=variants
)
