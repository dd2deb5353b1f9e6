"""What a scarf is compared with: the woods at its slope, the glue line at every point of it, the glue, its place."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from shaftcheck.beam import Beam
from shaftcheck.checks.column import crush, pressed_rows, thrust_use
from shaftcheck.checks.compare import Use, norm, plain_use, settled_use
from shaftcheck.checks.member import exponent, form, lasting_limit, shear_with_twist
from shaftcheck.checks.net import bent_uses
from shaftcheck.checks.placed import clear
from shaftcheck.checks.scarf_build import GLUES, GOOD, Scarf
from shaftcheck.checks.twowood import two_wood
from shaftcheck.formula import Sym, Table, formula
from shaftcheck.model import Array
from shaftcheck.strength import GLUE_SHEAR
from shaftcheck.trace import named

__all__ = ["DECLARES", "EFFICIENCY", "check"]

EFFICIENCY = Table(
    "scarf efficiency",
    "Freas & Selbo, USDA Technical Bulletin 1069 (1954), design factors of plain scarfs (from memory; to be read in "
    "print); Birmingham, in a secondary account, gives 0.95 at 1:20, where the lower is used",
    (0.0, 1 / 12, 1 / 10, 1 / 8),
    (0.90, 0.90, 0.85, 0.80),
)

_S = Sym("s", "", "slope of the scarf, rise over run", low=0.0)


@formula(
    Sym("r_n", "", "stress square to the glue line over fibre stress"),
    "stress on an inclined plane, Gere, Mechanics of Materials, 2.6 (from memory)",
    s=_S,
)
def peel_part(*, s: Array) -> Array:
    """Part of the fibre stress that pulls square to a glue line."""
    return s * s / (1 + s * s)


@formula(
    Sym("r_t", "", "shear on the glue line over fibre stress"),
    "stress on an inclined plane, Gere, Mechanics of Materials, 2.6 (from memory)",
    s=_S,
)
def shear_part(*, s: Array) -> Array:
    """Part of the fibre stress that shears along a glue line."""
    return s / (1 + s * s)


@formula(
    Sym("r", "", "shear over its mean along the scarf"),
    "equal strain through the thickness of a full scarf (derived); at its ends the limit of Hart-Smith, NASA CR-112237 "
    "(1973), eqs. 54 to 56, for a long elastic joint",
    E_1=Sym("E_1", "Pa", "modulus of the inner wood", low=0.0),
    E_2=Sym("E_2", "Pa", "modulus of the outer wood", low=0.0),
    xi=Sym("xi", "", "from 0 at the scarf's inner end to 1 at its outer end", low=-1e-6, high=1 + 1e-6),
)
def unlike_peak(*, E_1: Array, E_2: Array, xi: Array) -> Array:
    """Peak of the glue line's shear between unlike woods: E_stiff/E_soft at the stiffer wood's tip."""
    part = E_1 * (1 - xi) + E_2 * xi
    return E_1 * E_2 / (part * part)


_PLANE = "stress on an inclined plane, shear stress in, Gere, Mechanics of Materials, 7.2 (from memory)"
_SIGMA = Sym("sigma", "Pa", "fibre stress at the glue line, its peak between unlike woods in it", low=0.0)
_ACROSS = Sym("tau_z", "Pa", "shear stress across the cut, along the shaft", low=0.0)
_ALONG = Sym("tau_y", "Pa", "shear stress along the cut's width, along the shaft", low=0.0)


@formula(
    Sym("tau_z", "Pa", "shear stress across the cut, along the shaft"),
    "shear formula, falling to the faces as 1 - z^2: exact on an oval and a rectangle, a bound between (Gere & Goodno, "
    "Mechanics of Materials, 5.8 and 5.9, from memory); torsion as on an oval, in the line's edge (judgement)",
    V=Sym("V", "N", "shear force through the cut"),
    s_v=Sym("s_v", "m**-2", "greatest shear stress for unit shear"),
    z=Sym("z", "", "place of the cut, from -1 at one face to 1 at the other", low=-1.0, high=1.0),
    T=Sym("T", "N*m", "torque"),
    s_t=Sym("s_t", "m**-3", "shear stress at the line's side for unit torque"),
    c=Sym("c", "", "the line's width over the section's", low=0.0, high=1.0),
)
def shear_at_cut(*, V: Array, s_v: Array, z: Array, T: Array, s_t: Array, c: Array) -> Array:
    """Shear stress at the height of the cut, of shear force and torque where they add."""
    return np.abs(V) * s_v * (1 - z * z) + np.abs(T) * s_t * c


@formula(
    Sym("sigma_n", "Pa", "stress square to the glue line"),
    _PLANE,
    r_n=Sym("r_n", "", "pulled part of the fibre stress", low=0.0),
    sigma=_SIGMA,
    s=_S,
    tau=_ACROSS,
)
def glue_pull(*, r_n: Array, sigma: Array, s: Array, tau: Array) -> Array:
    """Stress that pulls the glue line open, shear taken the way that adds to it."""
    return r_n * sigma + 2 * s / (1 + s * s) * tau


@formula(
    Sym("tau_g", "Pa", "shear stress in the glue line"),
    _PLANE,
    r_t=Sym("r_t", "", "sheared part of the fibre stress", low=0.0),
    sigma=_SIGMA,
    s=_S,
    tau=_ACROSS,
    beside=_ALONG,
)
def glue_slip(*, r_t: Array, sigma: Array, s: Array, tau: Array, beside: Array) -> Array:
    """Shear stress in the plane of the glue line, along its slope and along its width."""
    return np.hypot(r_t * sigma + (1 - s * s) / (1 + s * s) * tau, s / np.sqrt(1 + s * s) * beside)


@formula(
    Sym("tau_e", "Pa", "what the pull square to the glue line comes to, as shear"),
    "(sigma_n/f_t)^2 + (tau/f_v)^2 <= 1, Norris, FPL Report 1816 (1950) (from memory), times f_v^2",
    pull=Sym("sigma_n", "Pa", "stress square to the glue line", low=0.0),
    f_t=Sym("f_t", "Pa", "tension across the grain of the weaker wood", low=0.0),
    f_v=Sym("f_v", "Pa", "shear of the glue line", low=0.0),
)
def pull_as_shear(*, pull: Array, f_t: Array, f_v: Array) -> Array:
    """The shear stress that takes as much of a glue line as a pull square to it."""
    return pull * f_v / f_t


DECLARES = (
    "scarf, inner wood",
    "scarf, inner wood, life",
    "scarf, inner wood, pressed",
    "scarf, outer wood",
    "scarf, outer wood, life",
    "scarf, outer wood, pressed",
    "scarf, glue pulled",
    "scarf, glue pulled, pressed",
    "scarf, glue sheared",
    "scarf, glue sheared, pressed",
    "scarf, glue kind",
    "scarf, bonding",
    "scarf, clear of the lock",
    "scarf, clear of other joints",
)
_T = np.linspace(0.0, 1.0, 33)
_X = Sym("x", "m", "place along the scarf, from the handle end: the worst of 33")
_CUT = Sym("z", "", "place of the cut, from -1 at the lower or forward face to 1 at the other")
_CHORD = Sym("c_g", "m", "half of the glue line's width")
_THROUGH = Sym("sigma_z", "Pa", "fibre stress at the glue line from bending through the cut")
_BESIDE = Sym("sigma_y", "Pa", "fibre stress at the glue line's edge from bending the other way")
_LIMIT = Sym("f_b", "Pa", "bending limit of the wood in the scarf")
_LINE = "efficiency and glue line: the least governs, never their product"


def check(beam: Beam, j: Scarf) -> Iterator[Use]:
    """Yield the woods at the scarf's slope, the glue line at every point of it, the glue, and its place."""
    lift = (..., None, None)
    t = np.clip(_T, 1e-9, 1.0 - 1e-9)
    x = named(j.start[lift] + (j.end - j.start)[lift] * t, _X)
    cut = beam.at(x)
    s = cut.section
    ends = [beam.at((place + step)[lift]) for place, step in ((j.start, -1e-9), (j.end, 1e-9))]
    e_in, e_out = (e.limit("stiffness")[..., :1, :] + 0.0 * x for e in ends)
    deep = j.through_depth[lift] == 1.0
    size, other = np.where(deep, s.depth, s.width), np.where(deep, s.width, s.depth)
    # in the direction of the outer wood's tip: the outer wood is above the cut, the inner below
    place = named(np.clip(-j.slope[lift] * (x - j.middle[lift]) * 2.0 / size, -1.0, 1.0), _CUT)
    two = two_wood(size, other, s.exponent, place, e_in, e_out)
    solid = np.where(np.isinf(s.wall), 1.0, np.nan)  # a hollow scarf is outside the method
    turn = np.where(deep, cut.moment_stroke, cut.moment_flat) * j.face[lift]
    side = np.where(deep, cut.moment_flat, cut.moment_stroke)
    still_turn = np.where(deep, 0.0, cut.still_flat)
    still_side = np.where(deep, cut.still_flat, 0.0)
    q = exponent(s)
    shape = form(beam, cut)
    eff = EFFICIENCY(j.slope)[lift]
    rows, _ = pressed_rows(beam)
    missing = "a slope of 1:8 or flatter, a solid section, or a strength of the wood"
    for name, end, across, along in (
        ("inner", ends[0], two.below_across, two.below_along),
        ("outer", ends[1], two.above_across, two.above_along),
    ):
        f = end.limit("bending")
        f = named(f * shape * eff * solid, _LIMIT)
        a, b = np.abs(turn) * across, np.abs(side) * along
        pa, pb = np.abs(still_turn) * across, np.abs(still_side) * along
        yield from bent_uses(
            beam,
            tuple(f"scarf, {name} wood{what}" for what in ("", ", life", ", pressed")),
            x,
            loads=(a, b),
            weight=(pa, pb),
            limit=f,
            q=q,
            axial=crush(N=cut.axial, A=s.area) / end.limit("compression"),
            sources=(
                f"two-wood section; bending limit times {EFFICIENCY.name} ({EFFICIENCY.source}); {_LINE}",
                f"bending limit times {EFFICIENCY.name}",
            ),
            unknown=missing,
        )
    f_v = GLUE_SHEAR * np.minimum(ends[0].limit("shear"), ends[1].limit("shear"))
    f_t = np.minimum(ends[0].limit("tension across"), ends[1].limit("tension across"))
    s_j = j.slope[lift] + 0.0 * x
    steep = np.where(np.isnan(eff), np.nan, 1.0) * solid
    peak = np.maximum(unlike_peak(E_1=e_in, E_2=e_out, xi=t + 0.0 * x), 1.0)
    r_n, r_t = peel_part(s=s_j), shear_part(s=s_j)
    second_turn = np.where(deep, s.second_stroke, s.second_flat)
    second_side = np.where(deep, s.second_flat, s.second_stroke)
    n = np.minimum(s.exponent, 1e3)
    chord = named(other / 2.0 * np.maximum(1.0 - np.abs(place) ** n, 0.0) ** (1.0 / n), _CHORD)
    at_glue = named(turn * place * size / 2.0 / second_turn, _THROUGH)
    beside = named(np.abs(side) * chord / second_side, _BESIDE)
    still = np.abs(still_turn) * np.abs(place) * size / 2.0 / second_turn + np.abs(still_side) * chord / second_side
    pull, press = (np.maximum(v, 0.0) + beside for v in (at_glue, -at_glue))
    wide = chord / (other / 2.0)
    v_turn, v_side = (np.where(deep, a, b) for a, b in ((cut.forward, cut.up), (cut.up, cut.forward)))
    w_turn, w_side = np.where(deep, 0.0, cut.still_up), np.where(deep, cut.still_up, 0.0)
    s_turn, s_side = (np.where(deep, a, b) for a, b in ((s.shear_stroke, s.shear_flat), (s.shear_flat, s.shear_stroke)))
    t_turn, t_side = (np.where(deep, a, b) for a, b in ((s.twist_side, s.twist_face), (s.twist_face, s.twist_side)))

    def on_the_line(fibre: Array, turned: Array, sideways: Array, twist: Array) -> tuple[Array, Array]:
        """Return what pulls the line open, as shear, and what shears it [Pa]."""
        tau = shear_at_cut(V=turned, s_v=s_turn, z=place, T=twist, s_t=t_turn, c=wide) * peak
        along = shear_with_twist(V=sideways, s=s_side, T=twist, t=t_side) * peak
        opens = glue_pull(r_n=r_n, sigma=fibre * peak, s=s_j, tau=tau)
        slips = glue_slip(r_t=r_t, sigma=fibre * peak, s=s_j, tau=tau, beside=along)
        return pull_as_shear(pull=opens, f_t=f_t, f_v=f_v), slips

    moved, stands = (
        [on_the_line(v, *rest) for v in fibres]
        for fibres, rest in (
            ((pull, press), (v_turn, v_side, cut.torque)),
            ((still,), (w_turn, w_side, np.zeros_like(cut.torque))),
        )
    )
    none, whole = 0.0 * f_v, f_v * steep
    both = [norm(opens * at_once, slips, 2.0) + none for (opens, slips), at_once in zip(moved, (1.0, 0.0), strict=True)]
    stand = norm(*stands[0], 2.0) + none
    for name, stress in zip(("pulled", "sheared"), both, strict=True):  # pressed together, nothing opens it
        # every case on both faces; and no more than all cases alike allow, which may be nearer to each other
        capacity = np.minimum(*(lasting_limit(beam, whole, v, stand) for v in (np.maximum(*both), stress)))
        yield Use(
            check=f"scarf, glue {name}",
            kind="splits",
            x=x,
            use=plain_use(stress, capacity, stand),
            demand=stress + stand,
            capacity=capacity + 0.0 * stress,
            unit="Pa",
            source="shear of the glue line from the fibre stress on its slope, its peak at the stiffer wood's tip, the "
            "shear force and the torque, with what pulls it open; 0.90 of the weaker wood's shear (judgement) with "
            f"tension across the grain; {_LINE}",
            unknown="a slope of 1:8 or flatter, a solid section, shear or tension across the grain of both woods",
        )
        if rows:
            glue = [(v + none)[..., list(rows), :] for v in (stress, stand, capacity)]
            use, demand = thrust_use(beam, _one(glue[0], glue[1]), glue[2], np.zeros_like(glue[0]))
            yield Use(
                check=f"scarf, glue {name}, pressed",
                kind="splits",
                x=x,
                use=use,
                demand=demand,
                capacity=np.ones_like(demand),
                unit="",
                source=f"glue line's stress raised by the push, 1/(1 - P/P_cr), NDS 3.9 (from memory); {_LINE}",
                unknown="as the glue line without the push, or the stiffness of the wood",
                cases=rows,
            )
    yield _glue_kind(j)
    yield _bonding(beam, j)
    yield from clear(beam, j, j.middle, "no fitting over any part of a splice, FAA AC 43.13-1B (1998) 1-40")


def _one(stress: Array, still: Array) -> Callable[[Array], Array]:
    """Return a stress at a factor on the variable loads."""
    return lambda factor: still + factor * stress


def _bonding(beam: Beam, j: Scarf) -> Use:
    """Return whether a wood that bonds with difficulty, or of which nobody says how, has had a sample broken."""
    pieces = beam.shaft.pieces
    classes = np.stack(np.broadcast_arrays(*(p.wood.bonding for p in pieces)), axis=-1)[..., None, :]
    ends = [beam.at((place + step)[..., None, None]).pick(classes) for place, step in ((j.start, -1e-9), (j.end, 1e-9))]
    easy = np.maximum(*ends) < 3.0  # never where a class is not known
    return settled_use(
        check="scarf, bonding",
        x=j.middle[..., None, None],
        open_=~(easy | j.sample_broken),
        source="Wood Handbook FPL-GTR-190 Table 10-1, ease of bonding; a sample that broke in the wood settles it",
        unknown="a broken sample of the glue line: one of the woods bonds with difficulty, or no list says how",
    )


def _glue_kind(j: Scarf) -> Use:
    """Return whether the glue is one for outdoors."""
    return settled_use(
        check="scarf, glue kind",
        x=j.middle[..., None, None],
        open_=np.full((*np.shape(j.middle), 1, 1), GLUES[j.glue] not in GOOD),
        source="Wood Handbook FPL-GTR-190 Table 10-2, class by exposure",
        unknown=f"a structural glue for outdoor use: {j.glue} is {GLUES[j.glue]}, outside the method",
    )
