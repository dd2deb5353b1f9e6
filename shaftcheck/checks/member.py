"""The shaft itself: fibre stress, shear with twist, and the damage of a life's strokes."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck import sections
from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.compare import Use, norm, norm_use, use_at_factor
from shaftcheck.formula import Sym, formula
from shaftcheck.model import Array, OnePiece, number
from shaftcheck.sections import Section, dual_exponent
from shaftcheck.strength import (
    LAST_CYCLE,
    MEMBER_SHEAR,
    SLOPE_GRADED,
    SLOPE_MEAN,
    form_factor,
)
from shaftcheck.trace import bare, constant, named, quiet, solved

__all__ = ["LIFE", "bending", "bending_limit", "damage", "fibre_parts", "lasting_limit", "life_use", "shear"]

ORDINARY = constant(
    1.0 / 50.0,
    Sym("s_50", "", "taper of an ordinary shaft, 1:50"),
    "who measures run-out on the surface has so much taper in it already (judgement)",
)
REACHED = constant(sections.STEEP, Sym("s_6", "", "steepest run-out of the tables, 1:6"), "ASTM D245 (from memory)")
BEYOND = constant(
    7.8,
    Sym("m", "", "how fast bending strength falls beyond the tables' steepest run-out, over what is left there"),
    "ASTM D245 from 1:8 to 1:6 (from memory), carried on straight (judgement)",
)
_STRESS = Sym("sigma", "Pa", "greatest fibre stress")
_NO_STRENGTH = "a strength of the wood, its run-out, or a section that the method reaches"


@formula(
    _STRESS,
    "Gere & Goodno, Mechanics of Materials, the flexure formula M c / I (from memory)",
    M=Sym("M", "N*m", "bending moment"),
    c=Sym("c", "m", "size in the direction of bending"),
    I=Sym("I", "m**4", "second moment of area", low=0.0),
)
def fibre_stress(*, M: Array, c: Array, I: Array) -> Array:  # noqa: E741
    """Stress at the outer fibre from bending about one axis, without its sign."""
    return np.abs(M) * c / (2 * I)


@formula(
    Sym("tau", "Pa", "shear stress"),
    "shear and torsion added where their peaks meet (by definition)",
    V=Sym("V", "N", "shear force"),
    s=Sym("s", "m**-2", "shear stress for unit shear"),
    T=Sym("T", "N*m", "torque"),
    t=Sym("t", "m**-3", "shear stress for unit torque"),
)
def shear_with_twist(*, V: Array, s: Array, T: Array, t: Array) -> Array:
    """Shear stress of a shear force and a torque at the same place."""
    return np.abs(V) * s + np.abs(T) * t


_STROKE = Sym("sigma_s", "Pa", "fibre stress of bending fore and aft")
_FLAT = Sym("sigma_f", "Pa", "fibre stress of bending up and down")
_STILL = Sym("sigma_w", "Pa", "fibre stress of bending by the oar's own weight")
_LIMIT = Sym("f_b", "Pa", "bending limit there, with form and size")
_SHEAR_LIMIT = Sym("f_v", "Pa", "shear limit of a member, checks and splits allowed for")
_FORM = Sym("k_form", "", "what form, size and a cut surface leave")


@formula(
    Sym("s_e", "", "slope at which the fibres run out at the surface"),
    "the grain's and the surface's slope on that face where they add, less an ordinary taper; no less than either "
    "(derived; the ordinary taper is judgement)",
    s=Sym("s", "", "run-out of the grain", low=0.0),
    fall=Sym("s_t", "", "slope of the shaft's surface", low=0.0),
    usual=Sym("s_50", "", "taper of an ordinary shaft", low=0.0),
)
def run_out_of_both(*, s: Array, fall: Array, usual: Array) -> Array:
    """Run-out of the fibres where the surface falls away towards the grain."""
    return np.maximum(np.maximum(s, fall), s + np.maximum(fall - usual, 0))


@formula(
    Sym("k_6", "", "what bending keeps beyond the tables' steepest run-out"),
    "the last straight line of the table, carried on (judgement)",
    s=Sym("s_e", "", "slope at which the fibres run out at the surface", low=0.0),
    last=Sym("s_6", "", "steepest run-out of the tables", low=0.0),
    m=Sym("m", "", "how fast it falls", low=0.0),
)
def beyond_the_tables(*, s: Array, last: Array, m: Array) -> Array:
    """What is left where grain and surface together run out steeper than the tables reach."""
    return np.maximum(1 - m * np.maximum(s - last, 0), 0)


def fibre_parts(cut: Cut) -> tuple[Array, Array, Array]:
    """Return the fibre stress of bending fore and aft, up and down, and up and down from the weight [Pa]."""
    s = cut.section
    return (
        named(fibre_stress(M=cut.moment_stroke, c=s.depth, I=s.second_stroke), _STROKE),
        named(fibre_stress(M=cut.moment_flat, c=s.width, I=s.second_flat), _FLAT),
        named(fibre_stress(M=cut.still_flat, c=s.width, I=s.second_flat), _STILL),
    )


def exponent(section: Section) -> Array | float:
    """Return how the two bending stresses combine; plain 2 where every section is an oval."""
    return 2.0 if section.plain else dual_exponent(section.exponent)


def form(beam: Beam, cut: Cut) -> Array:
    """Return what form, size and a cut surface take off the bending limit, (..., 1, points) [-].

    The size effect is that of the greater size. Where the surface falls away faster than an ordinary taper, the fibres
    run out on one face by grain and surface together.
    """
    s = cut.section
    big, small = np.maximum(s.depth, s.width), np.minimum(s.depth, s.width)
    ratios = np.stack([p.wood.dry.bending / p.wood.dry.compression for p in beam.shaft.pieces], axis=-1)
    if s.solid:
        factor = form_factor(big, small, s.exponent, s.wall, np.ones_like(big))
    else:
        ratio = cut.pick(ratios[..., None, :])
        factor = np.minimum(
            form_factor(s.depth, s.width, s.exponent, s.wall, ratio),
            form_factor(s.width, s.depth, s.exponent, s.wall, ratio),
        )
    fall = sections.shoulder(cut.x, beam.shaft.stations)
    slopes = np.broadcast_arrays(*(p.slope for p in beam.shaft.pieces))
    runout = cut.pick(np.stack(slopes, axis=-1)[..., None, :])
    both = run_out_of_both(s=runout, fall=fall, usual=ORDINARY)
    if np.any(both > runout):
        told = np.minimum(both, REACHED)
        graded = np.minimum(SLOPE_GRADED(told), SLOPE_MEAN(told)) * beyond_the_tables(s=both, last=REACHED, m=BEYOND)
        factor = factor * graded / np.minimum(SLOPE_GRADED(runout), SLOPE_MEAN(runout))
    return named(factor, _FORM)


def bending_limit(beam: Beam, cut: Cut) -> Array:
    """Return the bending limit with form and size, (..., cases, points) [Pa]."""
    return named(cut.limit("bending") * form(beam, cut), _LIMIT)


def _some(cases: tuple[int, ...], *arrays: Array) -> tuple[Array, ...]:
    """Return only the rows of some cases; an array that is the same for all cases stays."""
    return tuple(a if a.shape[-2] == 1 else a[..., list(cases), :] for a in arrays)


def bending(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Fibre stress against the bending limit, both directions at once; with thrust where the shaft is a column."""
    q = exponent(cut.section)
    limit = bending_limit(beam, cut)
    stroke, flat, still = fibre_parts(cut)
    free = tuple(i for i, c in enumerate(beam.cases) if c.column is None)
    a, b, p, f = _some(free, stroke, flat, still, limit)
    yield Use(
        check="bending",
        kind="breaks",
        x=cut.x,
        use=norm_use(a, b, 0.0 * p, p, f, q),
        demand=norm(a, b + p, q),
        capacity=f,
        unit="Pa",
        source="flexure formula, both directions combined by the section's own curve; bending limit by the ladder",
        unknown=_NO_STRENGTH,
        cases=free,
    )


@formula(
    Sym("V_m", "N", "shear force fore and aft, the water's force at mid-blade"),
    "equilibrium about the lock or the outer pin (by definition)",
    V=Sym("V_s", "N", "shear force fore and aft"),
    k=Sym("k_m", "", "how much greater the water's force is at mid-blade, outboard", low=1.0),
)
def shear_from_mid_blade(*, V: Array, k: Array) -> Array:
    """Shear force fore and aft with the water's force where it is greatest for the same pull."""
    return k * V


def at_mid_blade(beam: Beam, cut: Cut) -> Array:
    """Return the shear force fore and aft with the water's force at mid-blade, (..., cases, points) [N].

    Beyond mid-blade, and within an outer cradle, which bending shears, it is that of the force where it is taken for
    bending. Only shear by itself asks for it: whatever bends as well asks more with the force further out.
    """
    rig, lift = beam.shaft.rig, (..., None, None)
    about = (rig.lock if isinstance(rig, OnePiece) else rig.outer_to)[lift]
    more = np.stack(np.broadcast_arrays(*(c.mid for c in beam.cases)), axis=-1)[..., None]
    outboard = (cut.x > about) & (cut.x < beam.shaft.blade.centroid[lift])
    return shear_from_mid_blade(V=cut.forward, k=np.where(outboard, more, 1.0))


def shear(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Shear along the grain with twist, where the shear fore and aft peaks and where that up and down does.

    The other direction's shear is added as at the section's middle, so that no point of the section is missed.
    """
    s, ahead = cut.section, at_mid_blade(beam, cut)
    once = named(cut.limit("shear") * MEMBER_SHEAR, _SHEAR_LIMIT)
    none = np.zeros_like(cut.torque)
    stroke = shear_with_twist(V=ahead, s=s.shear_stroke, T=cut.torque, t=s.twist_side)
    flat = shear_with_twist(V=cut.up, s=s.shear_flat, T=cut.torque, t=s.twist_face)
    plain_stroke = shear_with_twist(V=ahead, s=s.shear_stroke, T=none, t=s.twist_side)
    plain_flat = shear_with_twist(V=cut.up, s=s.shear_flat, T=none, t=s.twist_face)
    still = shear_with_twist(V=cut.still_up, s=s.shear_flat, T=none, t=s.twist_face)
    for name, a, b in (
        ("shear, stroke", stroke, plain_flat),
        ("shear, up and down", plain_stroke, flat),
    ):
        limit = lasting_limit(beam, once, b, still, a)
        yield Use(
            check=name,
            kind="splits",
            x=cut.x,
            use=norm_use(a, b, 0.0 * still, still, limit),
            demand=norm(a, b + still, 2.0),
            capacity=limit,
            unit="Pa",
            source="shear formula and torsion of the section; shear limit by the ladder times 0.67 for checks and "
            "splits (EN 1995-1-1 k_cr, from memory)",
            unknown=_NO_STRENGTH,
        )


LIFE = (
    "Miner's sum over the fatigue line (end point Wood Handbook Table 5-17, from memory, with doubt; line: judgement)"
)


_RATIO = Sym("r", "", "fibre stress over the short pull's bending limit")
_DAMAGE = Sym("D", "", "part of the life that all strokes spend")
_FACTOR = Sym("lambda", "", "factor on the variable loads")
_SPENDS = "solved for by Newton's method: at this factor on the variable loads all strokes together spend the life"


@formula(
    Sym("b", "", "how fast the fatigue line falls"),
    f"ln N_e / (1 - k_e): the fatigue line turned round; {LIFE}",
    end=Sym("k_e", "", "strength left at N_e cycles", low=0.0, high=0.99),
    last=Sym("N_e", "", "cycles at the end point"),
)
def fatigue_rate(*, end: Array, last: Array) -> Array:
    """How fast the cycles that a stress may act fall with the stress."""
    return np.log(last) / (1 - end)


@formula(
    Sym("D_i", "", "part of the life that one kind of stroke spends"),
    f"n / N with N = exp(b (1 - r)) cycles; {LIFE}",
    n=Sym("n", "", "strokes of this kind in a life"),
    b=Sym("b", "", "how fast the fatigue line falls"),
    r=_RATIO,
    factor=_FACTOR,
)
def part_of_life(*, n: Array, b: Array, r: Array, factor: Array) -> Array:
    """What the strokes of one case spend of a life."""
    return n * np.exp(b * (factor * r - 1))


def life_use(beam: Beam, stroke: Array, flat: Array, limit: Array, q: Array | float) -> tuple[Array, Array]:
    """Return the use of a life's damage, added up (Miner), and the sum at the loads as they are.

    With s the stress over the short-term design limit, the fatigue line gives N = N_e^((1 - s)/(1 - k_e)) cycles, and
    each case spends share / N. The faces are not told apart: every case counts on both.

    Parameters
    ----------
    stroke, flat : (..., cases, points) - fibre stress of the variable loads, not negative [Pa]
    limit : (..., cases, points) - bending limit of every case there [Pa]; that of the short pull is used
    q : how the two combine
    """
    repeated = [i for i, c in enumerate(beam.cases) if c.repeated]
    short = next((i for i, c in enumerate(beam.cases) if not c.repeated), None)
    one = np.zeros(np.broadcast_shapes(stroke.shape, limit.shape))[..., :1, :]
    if not repeated:
        return one, one  # nothing is repeated, so nothing wears
    if short is None:
        return one * np.nan, one * np.nan  # no short pull to take the limit from
    stress = norm(stroke[..., repeated, :], flat[..., repeated, :], q)
    ratio = named(stress / limit[..., short : short + 1, :], _RATIO)
    end = np.stack(np.broadcast_arrays(*(beam.cases[i].reversed_end for i in repeated)), axis=-1)[..., None]
    strokes = np.stack(np.broadcast_arrays(*(beam.cases[i].share for i in repeated)), axis=-1)[..., None]
    rate = fatigue_rate(end=end, last=LAST_CYCLE)

    def spent(factor: Array) -> Array:
        with np.errstate(over="ignore", invalid="ignore"):
            each = part_of_life(n=strokes, b=rate, r=ratio, factor=factor)
            return named(np.sum(each, axis=-2, keepdims=True), _DAMAGE)

    with quiet(), np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        # the heaviest case alone spends it all at this factor, so all of them do: Newton's method comes down from there
        alone = np.where(strokes > 0.0, (1.0 - np.log(strokes) / rate) / ratio, np.inf)
        factor = np.min(np.where(np.isnan(ratio), np.nan, alone), axis=-2, keepdims=True)
        start = np.where(np.isinf(factor), 0.0, factor)
        factor = start
        for _ in range(7):
            each = strokes * np.exp(rate * (factor * ratio - 1.0))
            total = np.sum(each, axis=-2, keepdims=True)
            slope = np.sum(each * rate * ratio, axis=-2, keepdims=True) / total
            factor = factor - np.where(start > 0.0, np.log(total) / slope, 0.0)
    factor = solved(factor, _FACTOR, _SPENDS, LIFE, sides=lambda f: (spent(f), number(1.0)))
    with np.errstate(divide="ignore", invalid="ignore"):
        use = np.where(start > 0.0, use_at_factor(factor=factor), np.where(np.isnan(start), np.nan, 0.0))
    return use, spent(np.ones_like(start))


_LEFT = Sym("k_D", "", "what all strokes of a life together leave of a limit beside the greatest of them alone")
_TOGETHER = (
    "solved for by Newton's method: with the limit times this, the greatest single case is met at that factor on the "
    "variable loads at which all strokes together spend the life"
)


def lasting_limit(
    beam: Beam, limit: Array, stress: Array, still: Array | None = None, across: Array | None = None
) -> Array:
    """Return a limit, lowered in the repeated cases where all of them together spend a life before the worst alone.

    So a comparison case by case is the greater of both: the worst case with all strokes that are at least as heavy,
    by the ladder's own rung, and the sum over all cases (Miner) on the same fatigue line. What is taken off is the
    same for all cases; the case that comes nearest to its limit, where all together spend the life, lands on it.

    Parameters
    ----------
    limit : (..., cases, points) - of every case [Pa or any unit]; lasting load lowers it as a whole
    stress : broadcasts with it - of the variable loads, not negative
    still : broadcasts with it - of the permanent loads, in the same direction, not negative
    across : broadcasts with it - of the variable loads square to it, not negative
    """
    again = np.array([c.repeated for c in beam.cases])
    if not again.any() or again.all():
        return limit
    rows, short = np.flatnonzero(again), int(np.flatnonzero(~again)[0])
    with quiet(), np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        f, b, p, a = np.broadcast_arrays(
            *(bare(number(0.0) if v is None else v) for v in (limit, stress, still, across))
        )
        once = f[..., short : short + 1, :]
        f, b, p, a = (v[..., rows, :] for v in (f, b, p, a))
        alone = np.max(norm_use(a, b, 0.0 * p, p, f), axis=-2, keepdims=True)
        end = np.stack(np.broadcast_arrays(*(beam.cases[i].reversed_end for i in rows)), axis=-1)[..., None]
        strokes = np.stack(np.broadcast_arrays(*(beam.cases[i].share for i in rows)), axis=-1)[..., None]
        rate = fatigue_rate(end=end, last=LAST_CYCLE)
        some = (alone > 0.0) & np.isfinite(alone)
        factor = np.where(some, 1.0 / np.where(some, alone, 1.0), 0.0)
        lives = np.sum(strokes * np.exp(rate * (np.hypot(factor * a, p + factor * b) / once - 1.0)), -2, keepdims=True)
        sooner = some & (lives > 1.0)
        if not sooner.any():
            return limit
        for _ in range(8):  # the sum grows the faster the greater the factor: Newton's method comes down to it
            at = np.hypot(factor * a, p + factor * b)
            each = strokes * np.exp(rate * (at / once - 1.0))
            lives = np.sum(each, axis=-2, keepdims=True)
            rise = (factor * a * a + (p + factor * b) * b) / np.where(at > 0.0, at, 1.0)
            slope = np.sum(each * rate * rise / once, axis=-2, keepdims=True) / lives
            factor = np.where(sooner, np.maximum(factor - np.log(lives) / slope, 0.0), factor)
        left = np.max(np.hypot(factor * a, p + factor * b) / f, axis=-2, keepdims=True)
        part = np.where(again[:, None] & sooner, left, 1.0)
    return limit * solved(part, _LEFT, _TOGETHER, LIFE)


def damage(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Damage of a life's strokes in the shaft itself; the sum must not pass 1."""
    stroke, flat, _ = fibre_parts(cut)
    use, demand = life_use(beam, stroke, flat, bending_limit(beam, cut), exponent(cut.section))
    yield Use(
        check="life",
        kind="wears out",
        x=cut.x,
        use=use,
        demand=demand,
        capacity=np.ones_like(demand),
        unit="",
        source=LIFE,
        unknown=_NO_STRENGTH,
    )
