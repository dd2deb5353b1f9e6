"""The cradles of a hinged rig: each clamps the end of a half shaft."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.clamped import (
    foundation_edge,
    inner_shear,
    rigid_edge,
    rigid_inner,
    seat_beta,
    seat_pieces,
    springy_shear,
)
from shaftcheck.checks.compare import Use, plain_use, settled_use
from shaftcheck.checks.lock import CURVED, ring_between, ring_stress
from shaftcheck.checks.member import lasting_limit
from shaftcheck.formula import Sym, formula
from shaftcheck.model import Array, Hinged, number
from shaftcheck.strength import MEMBER_SHEAR
from shaftcheck.trace import constant

__all__ = ["DECLARES", "LINERS", "cradles"]

LINERS: dict[str, float] = {"none": 1e9, "rubber": 8e6, "leather": 40e6}
"""modulus of a thin bonded liner [Pa] (from memory, with doubt); of none it does not matter"""

ACROSS_STIFF = constant(
    0.10,
    Sym("r", "", "modulus across the grain over that along, for a stiff seat"),
    "Wood Handbook Table 5-1 gives 0.03 to 0.20 (some seen, most from memory); a stiffer seat presses harder at its "
    "edge (judgement)",
)
STANDING = constant(
    0.9 / 1.6,
    Sym("k_st", "", "what a standing load leaves across the grain"),
    "NDS permanent over ten minutes, 0.9/1.6 (secondary)",
)


@formula(
    Sym("k", "Pa", "seat's line stiffness"),
    "wood to half the shaft's depth and the liner, one behind the other (assumption, derived)",
    E=Sym("E", "Pa", "modulus of elasticity along the grain", low=0.0),
    r=Sym("r", "", "across over along", low=0.0),
    b=Sym("b", "m", "width of the seat", low=0.0),
    d=Sym("d", "m", "depth of the shaft", low=0.0),
    t=Sym("t_l", "m", "thickness of the liner", low=0.0),
    E_l=Sym("E_l", "Pa", "modulus of the liner", low=0.0),
)
def seat_stiffness(*, E: Array, r: Array, b: Array, d: Array, t: Array, E_l: Array) -> Array:
    """Line stiffness of wood behind a liner in a stiff cradle."""
    return b / (d / (2 * E * r) + t / E_l)


@formula(
    Sym("p", "Pa", "pressure across the grain"),
    "line load over width, peak 4/pi times the mean on a curved seat (cosine pressure, derived)",
    w=Sym("w", "N/m", "line load", low=0.0),
    b=Sym("b", "m", "width of the seat", low=0.0),
    k=Sym("k", "", "peak over mean"),
)
def edge_pressure(*, w: Array, b: Array, k: Array) -> Array:
    """Greatest pressure of a line load on a curved seat."""
    return k * w / b


@formula(
    Sym("sigma_s", "Pa", "tension across the grain"),
    "disc under two opposite line loads, 2 w / (pi D), Timoshenko & Goodier, Theory of Elasticity, 41 (from memory)",
    w=Sym("w", "N/m", "line load", low=0.0),
    D=Sym("D", "m", "size along the load", low=0.0),
)
def splitting(*, w: Array, D: Array) -> Array:
    """Tension across the grain of a shaft squeezed between two narrow seats."""
    return 2 * w / (np.pi * D)


_ALONG = np.linspace(0.0, 1.0, 17)
_NEAR, _FAR = slice(0, 9), slice(8, 17)
"""places along what is clamped, from the mouth, as parts of it; and the halves of them"""


def names(which: str) -> tuple[str, ...]:
    """Return the comparisons of one cradle."""
    return (
        f"{which} cradle, bearing (stiff)",
        f"{which} cradle, bearing (springy)",
        f"{which} cradle, inner shear",
        f"{which} cradle, splitting",
        f"{which} cradle, standing clamp",
        f"{which} cradle, ring bending",
        f"{which} cradle, what the link is fixed to",
    )


DECLARES = (*names("inner"), *names("outer"))


def cradles(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Yield the clamp of each half of a hinged rig."""
    rig = beam.shaft.rig
    if not isinstance(rig, Hinged):
        return
    yield from _cradle(beam, rig, "inner", rig.inner_from, rig.inner_to, rig.inner_from)
    yield from _cradle(beam, rig, "outer", rig.outer_from, rig.outer_to, rig.outer_to)


def _cradle(beam: Beam, rig: Hinged, which: str, start: Array, end: Array, mouth: Array) -> Iterator[Use]:
    lift = (..., None, None)
    inside = 1e-9 if which == "inner" else -1e-9
    middle = ((start + end) / 2.0)[lift]
    length = (end - start)[lift]
    at_mouth = beam.at((mouth - inside)[lift])
    # at the middle the actions are those of the free part alone, carried on: M_c = M at the mouth + V times half
    v = np.hypot(at_mouth.forward, at_mouth.up)
    m = np.hypot(at_mouth.moment_stroke, at_mouth.moment_flat)
    v_still, m_still = np.abs(at_mouth.still_up), np.abs(at_mouth.still_flat)
    s = beam.at((mouth + inside)[lift])
    # along what is clamped, from the mouth to the sawn end: the narrowest of each half of it is pressed hardest
    clamped = beam.at((mouth + inside)[lift] + ((end if which == "inner" else start) - mouth)[lift] * _ALONG).section
    sizes = np.minimum(clamped.width, clamped.depth)
    width, width_far = (sizes[..., part].min(axis=-1, keepdims=True) for part in (_NEAR, _FAR))
    least = np.minimum(width, width_far)
    depth = np.maximum(s.section.width, s.section.depth)
    wet = rig.wet[lift] == 1.0
    bearing = np.where(wet, s.limit("wet bearing"), s.limit("bearing"))
    clamp = rig.clamp[lift]
    second = np.minimum(s.section.second_stroke, s.section.second_flat)
    liner, soft = rig.liner[lift], rig.liner_stiffness[lift]
    betas = [
        seat_beta(k=seat_stiffness(E=across, r=ACROSS_STIFF, b=width, d=depth, t=liner, E_l=soft), E=along, I=second)
        for across, along in seat_pieces(beam, s)
    ]
    beta = np.maximum(*betas)  # a stiffer seat presses harder at its edge, and so does a shaft that bends more

    def lines(shear: Array, moment: Array) -> tuple[Array, Array, Array, Array]:
        """Return the stiff and the springy edge's line load, the sawn end's, and the shear force inside."""
        m_c = np.maximum(moment + shear * length / 2.0, 1e-12)
        edge = rigid_edge(V=shear, M_c=m_c, L=length)
        far = rigid_inner(V=shear, M_c=m_c, L=length)
        soft = springy_shear(V=shear, M=moment, beta=beta, u=beta * length * _ALONG).max(axis=-1, keepdims=True)
        within = np.maximum(np.maximum(np.abs(inner_shear(w_i=far, w=edge, L=length)), shear), soft)
        beyond = np.maximum(np.abs(far), shear / length)  # a springy seat presses its far half less
        return edge, foundation_edge(V=shear, M=moment, beta=beta, L=length), beyond, within

    stiff, springy, beyond, within = lines(v, m)
    stiff_still, springy_still, beyond_still, within_still = lines(v_still, m_still)
    standing = edge_pressure(w=clamp / length, b=least, k=CURVED)
    x = mouth[lift]
    missing = "compression across the grain, or its green value where the cradle stays wet"
    for name, line, weight in (("stiff", stiff, stiff_still), ("springy", springy, springy_still)):
        mouth_end, sawn_end = (
            tuple(edge_pressure(w=w, b=b, k=CURVED) for w in (edge, held, clamp / length))
            for edge, held, b in ((line, weight, width), (beyond, beyond_still, width_far))
        )
        uses = [plain_use(demand, bearing, still + squeeze) for demand, still, squeeze in (mouth_end, sawn_end)]
        worse = uses[1] > uses[0]
        demand = np.where(worse, sum(sawn_end), sum(mouth_end))
        yield Use(
            check=f"{which} cradle, bearing ({name})",
            kind="dents",
            x=x,
            use=np.where(worse, uses[1], uses[0]),
            demand=demand,
            capacity=bearing + 0.0 * demand,
            unit="Pa",
            source="stiff socket (Burandt) or elastic seat (Hetenyi, from memory), the worse governs; times 4/pi; "
            "the clamp's own pressure and the weight stand all the while; no bearing-area factor at a sawn end",
            unknown=missing,
        )
    unit_shear = np.maximum(clamped.shear_stroke, clamped.shear_flat).max(axis=-1, keepdims=True)
    limit = lasting_limit(beam, s.limit("shear") * MEMBER_SHEAR, within * unit_shear, within_still * unit_shear)
    yield Use(
        check=f"{which} cradle, inner shear",
        kind="splits",
        x=middle,
        use=plain_use(within * unit_shear, limit, within_still * unit_shear),
        demand=(within + within_still) * unit_shear,
        capacity=limit + 0.0 * within,
        unit="Pa",
        source="shear inside a stiff socket (Burandt) or a long springy one (Hetenyi, from memory), the worse, on the "
        "least section that is clamped; member shear with 0.67 for splits",
        unknown="shear along the grain",
    )
    narrow = np.where(rig.wraps[lift] == 1.0, 0.0, 1.0)
    line = np.maximum(stiff, springy)
    line_still = np.maximum(stiff_still, springy_still) + clamp / length
    # which way the load comes changes from case to case, and the clamp's own too: the lesser size splits first
    wedged, wedged_still = splitting(w=line, D=least), splitting(w=line_still, D=least)
    split = lasting_limit(beam, s.limit("tension across") * MEMBER_SHEAR, wedged, wedged_still)
    yield Use(
        check=f"{which} cradle, splitting",
        kind="splits",
        x=x,
        use=np.where(narrow == 0.0, 0.0, plain_use(wedged, split, wedged_still)),
        demand=splitting(w=line + line_still, D=least) * narrow,
        capacity=split + 0.0 * line,
        unit="Pa",
        source="two opposite line loads on a slice of the least size, so as at the sawn end, which is wedged open by "
        "no more than what presses the mouth; not where each seat wraps a quarter of the shaft; tension across the "
        "grain, 0.67 for splits",
        unknown="tension across the grain; or seats that wrap a quarter of the shaft",
    )
    yield Use(
        check=f"{which} cradle, standing clamp",
        kind="dents",
        x=middle,
        use=plain_use(standing, (bearing * STANDING)[..., :1, :]),
        demand=standing,
        capacity=(bearing * STANDING)[..., :1, :],
        unit="Pa",
        source="clamp force over the seat, times 4/pi; compression across the grain times 0.9/1.6 for a standing load",
        unknown=missing,
    )
    # the mouth's edge presses what lies a depth beyond it, too
    far, near = (mouth[lift] - depth, end[lift]) if which == "inner" else (mouth[lift] + depth, start[lift])
    hollow, r, t = ring_between(beam, np.minimum(far, near), np.maximum(far, near))
    ring, ring_still = (
        np.where(hollow, ring_stress(R=w, l=number(1.0), r=r, t=t), 0.0 * w) for w in (line, line_still)
    )
    held = lasting_limit(beam, s.limit("tension across"), ring, ring_still)
    yield Use(
        check=f"{which} cradle, ring bending",
        kind="splits",
        x=x,
        use=np.where(hollow, plain_use(ring, held, ring_still), 0.0 * ring),
        demand=ring + ring_still,
        capacity=held + 0.0 * ring,
        unit="Pa",
        source="a hollow half squeezed like a ring under two opposite line loads, Roark (from memory), unless it is "
        "solid for the cradle's length and a depth beyond",
        unknown="tension across the grain; or a solid plug as long as the cradle and a depth beyond",
    )
    yield settled_use(
        check=f"{which} cradle, what the link is fixed to",
        x=middle,
        open_=rig.link_on_shaft[lift] == 1.0,
        source="the link's force is many times the hand's; through the cradle it does not load the wood",
        unknown="a link fixed to the cradle. A lug on the shaft puts the link's force, many times the pull, through "
        "the wood across its grain: its fastenings, its seat and the shaft between lug and pin are not checked",
    )
