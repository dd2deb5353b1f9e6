"""The wall of a hollow shaft, pressed along by bending: a thin flat side wrinkles before the wood gives way."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.column import crush, pressed_rows
from shaftcheck.checks.compare import Use, plain_use, search_use
from shaftcheck.checks.member import fibre_parts
from shaftcheck.formula import Sym, formula
from shaftcheck.model import Array
from shaftcheck.trace import constant, named

__all__ = ["DECLARES", "walls"]

DECLARES = ("wall buckling", "wall buckling, pressed")
_LEAST = "Wood Handbook Table 5-1, basswood, the least of those that shafts are made of (from memory)"
ACROSS = constant(0.027, Sym("r_w", "", "modulus across the grain over that along, of a wall"), _LEAST)
SHEARED = constant(0.046, Sym("g_w", "", "shear modulus over modulus of elasticity, of a wall"), _LEAST)
POISSON = constant(0.4, Sym("nu_w", "", "Poisson's ratio, stretched along and narrowed across, of a wall"), _LEAST)
IN_PLANE = constant(
    5.5,
    Sym("k_g", "", "stress of in-plane bending that wrinkles a wall over even stress that does"),
    "5.55 to 6.95 for an orthotropic plate, 6 for one alike both ways (Kollar & Springer, Mechanics of Composite "
    "Structures; Timoshenko & Gere, Theory of Elastic Stability, 9.6; from memory)",
)
THIN = 1.0 / 20.0
"""an oval's wall less than this of its greater size is outside the method (judgement) [-]"""
_CRUSHED = Sym("c_w", "", "stress of the push over what wrinkles the wall")
_BENT = Sym("b_w", "", "bending stress over what wrinkles the wall")
_PLATE = (
    "long orthotropic plate on hinged sides, 2 pi^2 (sqrt(D_1 D_2) + D_12 + 2 D_66) / (b^2 t): Lekhnitskii, "
    "Anisotropic Plates; Timoshenko & Gere, Theory of Elastic Stability, 9.7 (from memory)"
)
_RANGE = "the stiffness of the wood; or a wall of at least a twentieth of the size of a hollow round or oval"


@formula(
    Sym("sigma_w", "Pa", "even stress along a flat wall that wrinkles it"),
    _PLATE,
    E=Sym("E_b", "Pa", "buckling stiffness of the wood along the grain", low=0.0),
    t=Sym("t_w", "m", "wall", low=0.0),
    b=Sym("b_w", "m", "width of the flat side, inside", low=0.0),
    r=Sym("r_w", "", "modulus across the grain over that along", low=0.0, high=1.0),
    g=Sym("g_w", "", "shear modulus over modulus of elasticity", low=0.0),
    nu=Sym("nu_w", "", "Poisson's ratio, along to across", low=0.0, high=0.5),
)
def wrinkling(*, E: Array, t: Array, b: Array, r: Array, g: Array, nu: Array) -> Array:
    """Stress that wrinkles a long flat side whose edges the next sides hold in place."""
    return (np.pi * t / b) ** 2 * E / 6 * ((np.sqrt(r) + nu * r) / (1 - nu * nu * r) + 2 * g)


@formula(
    Sym("sigma", "Pa", "even stress along a wall that asks as much of it"),
    "even and in-plane bending stress, each over what wrinkles the wall, added (derived, on the safe side)",
    u=Sym("sigma_u", "Pa", "stress even over its width"),
    v=Sym("sigma_g", "Pa", "stress of bending in its plane, at its edge"),
    k=Sym("k_g", "", "what wrinkles it in plane over what does evenly", low=1.0),
)
def pressed_evenly(*, u: Array, v: Array, k: Array) -> Array:
    """Even stress that stands for both on one flat side."""
    return u + v / k


@formula(
    Sym("r_w", "", "room for bending beside the push"),
    "the wall's own stress and what the column's buckling raises of bending, at loads times lambda (derived)",
    factor=Sym("lambda", "", "factor on the variable loads"),
    e=Sym("e", "", "push over the force that buckles the shaft"),
    c=_CRUSHED,
)
def wall_room(*, factor: Array, e: Array, c: Array) -> Array:
    """What a push leaves of a wall for bending."""
    return (1 - factor * e) * (1 - factor * c)


@formula(
    Sym("D_w", "", "sum, at most 1"),
    "stress of the push, and of bending as the column's buckling raises it, each over what wrinkles the wall (derived)",
    r=_BENT,
    m=Sym("m_e", "", "what the push leaves, 1 - P/P_cr"),
    c=_CRUSHED,
)
def wall_sum(*, r: Array, m: Array, c: Array) -> Array:
    """What a push and bending ask of a wall together."""
    return c + r / m


def walls(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Yield the stress along each flat side of a hollow shaft against what wrinkles it; a thin oval is not settled.

    A superoval's side is taken as flat over its full inner width.
    """
    s = cut.section
    hollow = np.isfinite(s.wall)
    flat = hollow & (s.exponent != 2.0)
    # a hair's breadth for a wall that is told as just that much
    thin = hollow & (s.exponent == 2.0) & (s.wall < THIN * (1.0 - 1e-9) * np.maximum(s.depth, s.width))
    wall = np.where(flat, s.wall, s.depth / 4.0)
    across, up, still = fibre_parts(cut)
    none = np.zeros_like(still)
    stiff = cut.limit("buckling stiffness")
    face, side = (
        wrinkling(E=stiff, t=wall, b=size - 2.0 * wall, r=ACROSS, g=SHEARED, nu=POISSON)
        for size in (np.where(flat, s.width, s.depth), s.depth)
    )
    # the fore and aft faces are pressed evenly by the stroke, and bent in their plane by what bends up and down
    parts = (
        (face, pressed_evenly(u=across, v=up, k=IN_PLANE), pressed_evenly(u=none, v=still, k=IN_PLANE)),
        (side, pressed_evenly(u=up, v=across, k=IN_PLANE), pressed_evenly(u=still, v=none, k=IN_PLANE)),
    )
    free = [i for i, c in enumerate(beam.cases) if c.column is None]
    rows, e = pressed_rows(beam)
    for name, some in (("wall buckling", free), ("wall buckling, pressed", list(rows))):
        if not some:
            continue
        worst: tuple[Array, Array, Array] | None = None
        for limit, bent, stands in parts:
            f, b, p = (
                np.broadcast_arrays(v, across)[0][..., some, :] if v.shape[-2] == 1 else v[..., some, :]
                for v in (limit, bent, stands)
            )
            if name == "wall buckling":
                use, demand = plain_use(b, f, p), b + p
            else:
                push = crush(N=np.minimum(cut.axial[..., some, :], 0.0), A=s.area)
                use, demand = _pressed(push, b, p, f, e)
                f = np.ones_like(demand)
            if worst is None:
                worst = use, demand, f + 0.0 * demand
            else:
                more = (use > worst[0]) | np.isnan(use)
                worst = (
                    np.where(more, use, worst[0]),
                    np.where(more, demand, worst[1]),
                    np.where(more, f, worst[2]),
                )
        assert worst is not None
        use, demand, capacity = worst
        yield Use(
            check=name,
            kind="buckles",
            x=cut.x,
            use=np.where(thin, np.nan, np.where(flat, use, 0.0)),
            demand=np.where(flat, demand, 0.0),
            capacity=capacity,
            unit="Pa" if name == "wall buckling" else "",
            source=f"{_PLATE}; stiffness of the low piece over 1.66 (NDS, from memory), elastic ratios of basswood; of "
            "ovals only that the wall is a twentieth of the size or more (judgement)",
            unknown=_RANGE,
            cases=tuple(some),
        )


def _pressed(push: Array, bent: Array, stands: Array, limit: Array, e: Array) -> tuple[Array, Array]:
    """Return the use where a push acts along the shaft and raises its bending, and the sum at the loads as they are."""
    crushed = named(push / limit, _CRUSHED)

    def sides(factor: Array) -> tuple[Array, Array]:
        room = wall_room(factor=factor, e=e, c=crushed)
        return room, named((stands + factor * bent) / limit, _BENT)

    def left(factor: Array) -> Array:
        room, bend = sides(factor)
        return room - bend

    with np.errstate(divide="ignore"):
        bound = np.minimum(1.0 / e, 1.0 / crushed) + 0.0 * limit
    words = "searched for: room and bending are equal at this factor on the variable loads"
    full = wall_sum(r=named((stands + bent) / limit, _BENT), m=np.maximum(1.0 - e, 1e-12), c=crushed)
    return search_use(left, bound, words, _PLATE, sides), full
