"""A bolt through each half in its cradle: what its hole leaves of the wood, what it presses, and where it may stand.

How a bolt and the cradle's seats share what the half brings hangs on the play of both, which nobody measures. So the
bolt is taken at its worst: the half touches the cradle at its mouth alone, and the bolt holds all of the moment there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.compare import Use, bar_use, plain_use
from shaftcheck.checks.dowel import FROM_THE_EDGE, from_the_end, pin_bends, second_left, width_left
from shaftcheck.checks.member import lasting_limit
from shaftcheck.checks.net import net_names, net_uses
from shaftcheck.formula import Sym, formula
from shaftcheck.model import Array, Bools, Hinged, Shaft
from shaftcheck.strength import MEMBER_SHEAR
from shaftcheck.trace import constant

__all__ = ["OVER", "bolts", "declared"]

PSI = 6894.757293168361
"""pound-force per square inch [Pa] (by definition)"""
OVER = constant(
    0.0254 / 16.0, Sym("o", "m", "how much wider than its bolt a hole is at most"), "NDS, 1/32 to 1/16 in (seen)"
)
DOWEL_ALONG = constant(
    11200.0 * PSI,
    Sym("c_1", "Pa", "dowel bearing along the grain over specific gravity"),
    "NDS 12.3.3, 11200 G psi (from memory)",
)
DOWEL_ACROSS = constant(
    6100.0 * PSI * 0.0254**0.5,
    Sym("c_2", "Pa*m**0.5", "dowel bearing across the grain, times the root of the diameter, at unit gravity"),
    "NDS 12.3.3, 6100 G^1.45 / D^(1/2) psi, D in inches (from memory)",
)
SHORT = constant(
    1.6,
    Sym("C_D", "", "ten minutes over ten years; longer and repeated loads by the ladder's own rung"),
    "NDS (seen, secondary)",
)
_REDUCED = "NDS reduction terms, 4 or 3.2 times 1 + 0.25 of the angle to the grain over a right angle (from memory)"
CRUSHED, BENT = (
    tuple(constant(v, Sym(s, "", f"reduction term, {words}"), _REDUCED) for s, v in (("R_a", a), ("R_b", b)))
    for words, a, b in (("the wood crushed", 4.0, 1.0), ("the bolt bent", 3.2, 0.8))
)
WET = constant(
    0.7, Sym("C_M", "", "what wet wood leaves of a bolted connection"), "NDS wet service factor (from memory)"
)
STEEL = constant(45e3 * PSI, Sym("F_y", "Pa", "bending yield of a plain bolt"), "NDS, 45000 psi (from memory)")


@formula(
    Sym("F", "N", "force on the bolt"),
    "moments about the mouth, the half touching there and at the bolt alone (derived, an upper bound)",
    M=Sym("M", "N*m", "bending moment at the mouth", low=0.0),
    z=Sym("z", "m", "from the mouth to the bolt", low=0.0),
)
def bolt_force(*, M: Array, z: Array) -> Array:
    """Force on a bolt that holds all of the moment at a cradle's mouth."""
    return M / z


@formula(
    Sym("f_1", "Pa", "dowel bearing along the grain"),
    "NDS 12.3.3, 11200 G psi (from memory)",
    G=Sym("G", "", "specific gravity", low=0.0, high=1.3),
    c=Sym("c_1", "Pa", "dowel bearing at unit gravity", low=0.0),
)
def dowel_along(*, G: Array, c: Array) -> Array:
    """Embedding strength of a bolt along the grain."""
    return c * G


@formula(
    Sym("f_2", "Pa", "dowel bearing across the grain"),
    "NDS 12.3.3, 6100 G^1.45 / D^(1/2) psi (from memory)",
    G=Sym("G", "", "specific gravity", low=0.0, high=1.3),
    d=Sym("d", "m", "diameter of the bolt", low=0.0),
    c=Sym("c_2", "Pa*m**0.5", "dowel bearing at unit gravity, times the root of the diameter", low=0.0),
)
def dowel_across(*, G: Array, d: Array, c: Array) -> Array:
    """Embedding strength of a bolt across the grain."""
    return c * G**1.45 / d**0.5


@formula(
    Sym("f_a", "Pa", "dowel bearing aslant"),
    "Hankinson's formula (seen, secondary), by the forces along and across",
    f_1=Sym("f_1", "Pa", "dowel bearing along the grain", low=0.0),
    f_2=Sym("f_2", "Pa", "dowel bearing across the grain", low=0.0),
    F=Sym("F", "N", "force across the grain", low=0.0),
    N=Sym("N", "N", "force along the grain", low=0.0),
)
def dowel_aslant(*, f_1: Array, f_2: Array, F: Array, N: Array) -> Array:
    """Embedding strength under a force across and one along the grain at once."""
    return f_1 * f_2 * (F * F + N * N) / (f_1 * F * F + f_2 * N * N)


def _names(which: str) -> tuple[str, ...]:
    rest = ("shear at the bolt", "bolt on the wood", "bolt bends over", "bolt from the end", "bolt from the edge")
    wood = net_names("wood at the bolt", pressed=which == "outer")
    return tuple(f"{which} cradle, {name}" for name in (*wood, *rest))


def declared(shaft: Shaft) -> tuple[str, ...]:
    """Return the comparisons of a shaft's bolts, by name; none where all bolts pass beside it."""
    rig = shaft.rig
    if not isinstance(rig, Hinged) or not np.any(rig.bolted_through == 1.0):
        return ()
    return (*_names("inner"), *_names("outer"))


def bolts(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Yield the bolt through each half of a hinged rig."""
    rig = beam.shaft.rig
    if isinstance(rig, Hinged) and np.any(rig.bolted_through == 1.0):
        yield from _bolt(beam, rig, "inner", rig.inner_bolt, rig.inner_from, rig.inner_to)
        yield from _bolt(beam, rig, "outer", rig.outer_bolt, rig.outer_to, rig.outer_from)


def _bolt(beam: Beam, rig: Hinged, which: str, at: Array, mouth: Array, end: Array) -> Iterator[Use]:
    lift = (..., None, None)
    there = rig.bolted_through[lift] == 1.0
    told = (0.0 * rig.bolt_fore)[lift]  # nan where its direction is not known
    place = np.where(there, at[lift], ((mouth + end) / 2.0)[lift])
    d = np.where(there, rig.bolt[lift] + told, 0.0)
    hole = np.where(there, d + OVER, 0.0)
    fore = rig.bolt_fore[lift] == 1.0
    # the side of the hole towards the mouth has the greatest moment
    x = place + hole / 2.0 * np.linspace(-1.0, 1.0, 3)
    here = beam.at(x)
    s = here.section
    outside = -1e-9 if which == "inner" else 1e-9
    at_mouth = beam.at((mouth + outside)[lift])
    z = np.abs(mouth[lift] - place)
    through, aside = np.where(fore, s.depth, s.width), np.where(fore, s.width, s.depth)
    stroke, flat = s.second_stroke, s.second_flat
    across, along = np.where(fore, hole, through), np.where(fore, through, hole)
    left_stroke, left_flat = second_left(w=across, h=along, I=stroke), second_left(w=along, h=across, I=flat)
    no_bolt = "bolt_diameter, bolts_run and the bolts' places; or bolts beside the shaft"
    missing = f"{no_bolt}; or a strength of the wood"
    for u in net_uses(
        beam,
        here,
        f"{which} cradle, wood at the bolt",
        stroke=left_stroke,
        flat=left_flat,
        area=1.0 - hole * through / s.area,
        source="flexure formula on what the hole leaves (derived), the hole 1/16 in wider than its bolt (NDS)",
        unknown=no_bolt,
        pressed=which == "outer",
    ):
        yield _only(there, u)
    middle = beam.at(place)
    # the bolt holds the moment that bends the half square to it; the other way the seats do
    moment = np.where(fore, np.abs(at_mouth.moment_flat), np.abs(at_mouth.moment_stroke))
    still = np.where(fore, np.abs(at_mouth.still_flat), 0.0)
    force, force_still = bolt_force(M=moment, z=z), bolt_force(M=still, z=z)
    within = np.maximum(np.hypot(middle.forward, middle.up), force)
    within_still = np.maximum(np.abs(middle.still_up), force_still)
    left = width_left(d=hole, b=aside[..., 1:2])
    unit_shear = np.maximum(middle.section.shear_stroke, middle.section.shear_flat) / np.where(left > 0.0, left, 1e-12)
    shear = lasting_limit(beam, middle.limit("shear") * MEMBER_SHEAR, within * unit_shear, within_still * unit_shear)
    yield _only(
        there,
        Use(
            check=f"{which} cradle, shear at the bolt",
            kind="splits",
            x=place,
            use=plain_use(within * unit_shear, shear, within_still * unit_shear),
            demand=(within + within_still) * unit_shear,
            capacity=shear + 0.0 * within,
            unit="Pa",
            source="shear of the width that the hole leaves, the half touching at mouth and bolt alone (upper bound); "
            "member shear with 0.67 for splits",
            unknown=missing,
        ),
    )
    for u in _pressed_wood(beam, rig, which, place, middle, at_mouth, force, force_still, d):
        yield _only(there, u)
    need_end = from_the_end(beam, middle) * d
    for name, asked, got, source in (
        ("bolt from the end", need_end, np.abs(end[lift] - place), "NDS Table 12.5.1A: 7 or 5 diameters (from memory)"),
        (
            "bolt from the edge",
            FROM_THE_EDGE * d,
            aside[..., 1:2] / 2.0,
            "NDS Table 12.5.1C: 4 diameters to a loaded edge (from memory)",
        ),
    ):
        yield _only(there, bar_use(f"{which} cradle, {name}", place, asked, got, source, unknown=no_bolt))


def _pressed_wood(
    beam: Beam,
    rig: Hinged,
    which: str,
    place: Array,
    here: Cut,
    at_mouth: Cut,
    force: Array,
    still: Array,
    d: Array,
) -> Iterator[Use]:
    """Yield the wood under the bolt, and the bolt that bends over in it."""
    lift = (..., None, None)
    through = np.where(rig.bolt_fore[lift] == 1.0, here.section.depth, here.section.width)
    lower = [np.minimum(p.wood.least_gravity, p.wood.gravity) for p in beam.shaft.pieces]
    gravity = here.pick(np.stack(np.broadcast_arrays(*lower), axis=-1)[..., None, :])
    size = np.where(d > 0.0, d, np.where(np.isnan(d), np.nan, 1.0))
    along = np.abs(at_mouth.axial)
    some = np.maximum(force, 1e-9)  # across, where nothing acts at all
    f = dowel_aslant(
        f_1=dowel_along(G=gravity, c=DOWEL_ALONG),
        f_2=dowel_across(G=gravity, d=size, c=DOWEL_ACROSS),
        F=some,
        N=along,
    )
    angle = np.arctan2(some, along) / (np.pi / 2.0)
    lasting = here.limit("compression")
    lasting = lasting / lasting.max(axis=-2, keepdims=True)  # 1 for a short pull, as the ladder has it
    left = SHORT * lasting * np.where(rig.wet[lift] == 1.0, WET, 1.0) / beam.own[..., None, None]
    total = np.hypot(force, along)
    rule = "all of the moment at the mouth over its distance from the bolt (upper bound), with the push along; dowel "
    rule += "bearing and reduction terms of NDS 12.3 (from memory), 1.6 and the ladder's own rung for lasting load"
    for name, kind, capacity in (
        ("bolt on the wood", "dents", f * size * through * left / (CRUSHED[0] + CRUSHED[1] * angle)),
        ("bolt bends over", "breaks", pin_bends(d=size, s=STEEL, f=f) * left / (BENT[0] + BENT[1] * angle)),
    ):
        capacity = lasting_limit(beam, capacity, total, still)
        yield Use(
            check=f"{which} cradle, {name}",
            kind=kind,
            x=place,
            use=plain_use(total, capacity, still),
            demand=total + still,
            capacity=capacity + 0.0 * total,
            unit="N",
            source=rule if name == "bolt on the wood" else f"{rule}; a plain steel bolt between thin plates, Johansen",
            unknown="bolt_diameter, bolts_run and the bolts' places; or the wood's specific gravity",
        )


def _only(there: Bools, u: Use) -> Use:
    """Return the comparison with no use where no bolt goes through the shaft."""
    return replace(u, use=np.where(there, u.use, 0.0), demand=np.where(there, u.demand, 0.0))
