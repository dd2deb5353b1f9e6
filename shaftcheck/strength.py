"""From a table's mean to a design limit, rung by rung.

The rungs are data: each stands once in `RUNGS`, with the properties it applies to. A limit is the table's mean times
every rung that applies, so that none can be applied twice. What a joint takes off is applied at its check, not here.

The *expected break* is another figure: the mean at the moisture in use and with the grain's mean effect, no safety.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Literal

import numpy as np

from shaftcheck.formula import Sym, Table, formula
from shaftcheck.frozen import frozen
from shaftcheck.model import Array, Piece, Property, Wood, map_arrays
from shaftcheck.trace import constant, named, quiet, solved

__all__ = [
    "LASTING",
    "LIMITS",
    "PROPERTY_OF",
    "RUNGS",
    "STRAIGHT",
    "Z95",
    "Limit",
    "Rung",
    "Setting",
    "Step",
    "expected",
    "expected_break",
    "form_factor",
    "ladder",
    "limit",
]

Limit = Literal[
    "bending", "shear", "compression", "bearing", "wet bearing", "tension across", "stiffness", "buckling stiffness"
]
LIMITS: tuple[Limit, ...] = (
    "bending",
    "shear",
    "compression",
    "bearing",
    "wet bearing",
    "tension across",
    "stiffness",
    "buckling stiffness",
)

_HANDBOOK = "Wood Handbook, FPL-GTR-282 (2021)"
Z95 = 1.645
"""standard normal quantile of 95 %: 5 of 100 lie beyond it on one side [-]; formulas write it out"""
STRAIGHT = 1.0 / 20.0
"""run-out of the grain beyond which a flatter one gains nothing: ASTM D245 (from memory) [-]"""
_RATIO = Sym("k", "", "ratio")
_SLOPE = Sym("s", "", "run-out of the grain, rise over run", low=0.0)


# ---------------------------------------------------------------------------------------------- formulas and tables


@formula(
    _RATIO,
    f"{_HANDBOOK}, eq. 5-3",
    dry=Sym("P_12", "Pa", "mean at 12 % moisture", low=0.0),
    green=Sym("P_g", "Pa", "mean when green", low=0.0),
    moisture=Sym("M", "", "moisture in use", low=0.12),
    green_at=Sym("M_p", "", "moisture at which drying begins to tell", low=0.15, high=0.35),
    dry_at=Sym("M_12", "", "moisture of the table, 12 %"),
)
def moisture_ratio(*, dry: Array, green: Array, moisture: Array, green_at: Array, dry_at: Array) -> Array:
    """Strength at a moisture over strength at 12 %; the moisture is at least 12 % and at most M_p."""
    return (dry / green) ** ((dry_at - moisture) / (green_at - dry_at))


@formula(
    _RATIO,
    "lower 5 % of a normal distribution, as in ASTM D2555 and D245 (from memory)",
    v=Sym("V", "", "coefficient of variation", low=0.0, high=0.55),
)
def lower_five_percent(*, v: Array) -> Array:
    """Value that 95 of 100 pieces exceed, over the mean."""
    return 1 - 1.645 * v


@formula(
    Sym("k_t", "", "strength under lasting load over strength in a test"),
    "Wood, FPL Report 1916 (1951), the Madison curve, as quoted in Forests 12(9) 1148 (2021)",
    t=Sym("t", "s", "time near the peak, added up", low=0.0),
    second=Sym("t_1", "s", "one second"),
)
def madison(*, t: Array, second: Array) -> Array:
    """What lasting load leaves of the strength, before the cap at 1."""
    return 0.183 + 1.084 * (t / second) ** -0.0464


@formula(
    Sym("k_f", "", "strength after N cycles over strength at one"),
    "a straight line in log N (judgement) from 1 at one cycle to its end point at 3e7 cycles: "
    "Wood Handbook Table 5-17 (from memory, with doubt)",
    N=Sym("N", "", "cycles", low=1.0, high=3.0e7),
    end=Sym("k_e", "", "strength left at 3e7 cycles", low=0.0, high=1.0),
    last=Sym("N_e", "", "cycles at the end point"),
)
def fatigue_line(*, N: Array, end: Array, last: Array) -> Array:
    """What repeated load leaves of the strength."""
    return 1 - (1 - end) * np.log(N) / np.log(last)


@formula(
    _RATIO,
    "Hankinson's formula with n = 2 and Q/P = 0.07, Wood Handbook ch. 5 (exponent and ratio from memory)",
    s=_SLOPE,
    ratio=Sym("q", "", "across over along", low=0.0, high=1.0),
)
def hankinson_stiffness(*, s: Array, ratio: Array) -> Array:
    """Stiffness along a slope of grain over stiffness along the grain: q / (q cos^2 + sin^2), tan = s."""
    return ratio * (1 + s * s) / (ratio + s * s)


@formula(
    _RATIO,
    "size effect (50 mm / d)^(1/9): NDS C_F for d above 12 in (from memory), moved to the 2 in of a clear test piece "
    "(judgement)",
    d=Sym("d", "m", "size in the direction of bending", low=0.0),
    test=Sym("d_0", "m", "size of the test piece"),
    root=Sym("n", "", "root that is drawn"),
)
def size_factor(*, d: Array, test: Array, root: Array) -> Array:
    """Bending strength of a deeper section over that of a test piece, before the cap at 1."""
    return (test / d) ** (1 / root)


SLOPE_MEAN = Table(
    "slope of grain, mean of tests",
    f"{_HANDBOOK}, Table 5-12, modulus of rupture",
    (0.0, 1 / 25, 1 / 20, 1 / 15, 1 / 10, 1 / 5),
    (1.00, 0.96, 0.93, 0.89, 0.81, 0.55),
)
SLOPE_GRADED = Table(
    "slope of grain, strength ratio in bending",
    "ASTM D245, strength ratios for slope of grain, bending or tension (from memory)",
    (0.0, 1 / 20, 1 / 18, 1 / 16, 1 / 15, 1 / 14, 1 / 12, 1 / 10, 1 / 8, 1 / 6),
    (1.00, 1.00, 0.85, 0.80, 0.76, 0.74, 0.69, 0.61, 0.53, 0.40),
)
SLOPE_CRUSHING = Table(
    "slope of grain, strength ratio in compression",
    "ASTM D245, strength ratios for slope of grain, compression (end rows from memory)",
    (0.0, 1 / 15, 1 / 6),
    (1.00, 1.00, 0.56),
)

DRY_AT = constant(0.12, Sym("M_12", "", "moisture of the table, 12 %"), f"{_HANDBOOK}, Table 5-3")
TEST_SIZE = constant(
    0.050, Sym("d_0", "m", "size of a clear test piece"), "2 in, ASTM D143 primary specimen (from memory)"
)
SIZE_ROOT = constant(9.0, Sym("n", "", "root of the size effect"), "NDS C_F (from memory)")
LAST_CYCLE = constant(
    3.0e7, Sym("N_e", "", "cycles at the end point of the fatigue line"), "Wood Handbook Table 5-17 (from memory)"
)
SECOND = constant(1.0, Sym("t_1", "s", "one second"), "by definition")
_FATIGUE = "Wood Handbook Table 5-17, fatigue of clear wood (from memory, with doubt)"
END_ONE_WAY = constant(0.40, Sym("k_e", "", "strength left at 3e7 cycles, bent one way"), _FATIGUE)
END_REVERSED = constant(0.28, Sym("k_e", "", "strength left at 3e7 cycles, bent to and fro"), _FATIGUE)
ACROSS = constant(
    0.07, Sym("q", "", "stiffness across the grain over that along"), "Wood Handbook ch. 5 (ratio from memory)"
)
MEMBER_SHEAR = constant(
    0.67,
    Sym("k_cr", "", "what checks and splits leave of a member's shear width"),
    "EN 1995-1-1 k_cr (from memory)",
)
GLUE_SHEAR = constant(0.90, Sym("k_g", "", "what a sound glue line carries of the wood's shear"), "judgement")
NORMAL_DURATION = 1.6
"""ten-year basis of the ASTM D245 divisors over a ten-minute test: NDS duration factor 1.6 (from memory)"""


# ----------------------------------------------------------------------------------------------------- the settings


@frozen
class Setting:
    """All that a ladder depends on, each an array that broadcasts with the others."""

    wood: Wood
    moisture: Array
    """[-]"""
    slope: Array
    """[-]"""
    seconds: Array
    """time near the peak, of this case and all heavier ones [s]"""
    cycles: Array
    """of this case and all heavier ones [-]"""
    reversed_end: Array
    """end point of the fatigue line [-]"""
    repeated: Array
    """1 where the fatigue line applies; 0 for events too few to count [-]"""
    own: Array
    """what the user divides by, on top [-]"""


def duration(s: Setting) -> Array:
    """Return the duration factor, never above 1."""
    return np.minimum(madison(t=s.seconds, second=SECOND), 1.0)


def fatigue(s: Setting) -> Array:
    """Return the fatigue factor; 1 where the load is not repeated."""
    line = fatigue_line(N=np.where(s.repeated == 1.0, s.cycles, 1.0), end=s.reversed_end, last=LAST_CYCLE)
    return np.where(s.repeated == 1.0, line, 1.0)


def _moisture(prop: str) -> Callable[[Setting], Array]:
    def factor(s: Setting) -> Array:
        held = np.minimum(np.maximum(s.moisture, DRY_AT), s.wood.green_at)
        dry, green = getattr(s.wood.dry, prop), getattr(s.wood.green, prop)
        at_use = moisture_ratio(dry=dry, green=green, moisture=held, green_at=s.wood.green_at, dry_at=DRY_AT)
        return np.minimum(at_use, 1.0)

    return factor


def _green_bearing(s: Setting) -> Array:
    return np.minimum(s.wood.green.bearing / s.wood.dry.bearing, 1.0)


def _lesser_tension(s: Setting) -> Array:
    return np.minimum(s.wood.green.tension_across / s.wood.dry.tension_across, 1.0)


def _low(prop: str) -> Callable[[Setting], Array]:
    return lambda s: lower_five_percent(v=getattr(s.wood.scatter, prop))


def _lasting(s: Setting) -> Array:
    return np.minimum(duration(s), fatigue(s))


def _grain_bending(s: Setting) -> Array:
    return np.minimum(SLOPE_GRADED(s.slope), SLOPE_MEAN(s.slope))


def _grain_stiffness(s: Setting) -> Array:
    return hankinson_stiffness(s=s.slope, ratio=ACROSS)


def _divide(soft: float, hard: float, over: float, source: str) -> Callable[[Setting], Array]:
    """Return the factor of a divisor for softwood and one for hardwood, both over another figure."""
    of = "" if over == 1.0 else f" over {over:g}"
    softly, hardly = (
        constant(v / over, Sym("n_s", "", f"safety divisor, {v:g}{of}, {kind}"), source)
        for v, kind in ((soft, "softwood"), (hard, "hardwood"))
    )
    return lambda s: 1.0 / np.where(s.wood.hardwood == 1.0, hardly, softly)


def _third_of_shear(s: Setting) -> Array:
    """Return one third of the member's shear limit, checks and splits allowed for."""
    return limit("shear", s) * MEMBER_SHEAR / 3.0


@frozen(kw_only=False)
class Rung:
    """One step of the ladder: its name, symbol and source, and the factor for each limit that it applies to."""

    name: str
    symbol: str
    source: str
    factors: dict[Limit, Callable[[Setting], Array]]


_D245 = "ASTM D245 divisor without its ten-year duration (from memory)"
OWN_FACTOR = "the user's own factor"
RUNGS: tuple[Rung, ...] = (
    Rung(
        "moisture in use",
        "k_m",
        f"{_HANDBOOK}, eq. 5-3; green value where a seat stays wet; tension across: lesser of green and 12 %",
        {
            "bending": _moisture("bending"),
            "shear": _moisture("shear"),
            "compression": _moisture("compression"),
            "bearing": _moisture("bearing"),
            "wet bearing": _green_bearing,
            "tension across": _lesser_tension,
            "stiffness": _moisture("stiffness"),
            "buckling stiffness": _moisture("stiffness"),
        },
    ),
    Rung(
        "the low piece of 20",
        "k_l",
        "1 - 1.645 V, V from Wood Handbook Table 5-6 (bending, stiffness, crushing seen; the others from memory)",
        {
            "bending": _low("bending"),
            "shear": _low("shear"),
            "compression": _low("compression"),
            "tension across": _low("tension_across"),
            "buckling stiffness": _low("stiffness"),
        },
    ),
    Rung(
        "lasting and repeated load",
        "k_life",
        "the lesser of the Madison curve and the fatigue line, never their product, never above 1",
        {"bending": _lasting, "shear": _lasting, "compression": _lasting, "tension across": _lasting},
    ),
    Rung(
        "run-out of the grain",
        "k_g",
        "the lesser of ASTM D245 (from memory) and Wood Handbook Table 5-12; stiffness by Hankinson",
        {
            "bending": _grain_bending,
            "compression": lambda s: SLOPE_CRUSHING(s.slope),
            "stiffness": _grain_stiffness,
            "buckling stiffness": _grain_stiffness,
        },
    ),
    Rung(
        "safety",
        "k_s",
        f"{_D245}: bending, shear, tension 2.1 (softwood) or 2.3 (hardwood) over 1.6; crushing 1.9 or 2.1 over 1.6; "
        "across the grain 1.67; buckling 1.66 (NDS E_min, from memory)",
        {
            "bending": _divide(2.1, 2.3, NORMAL_DURATION, _D245),
            "shear": _divide(2.1, 2.3, NORMAL_DURATION, _D245),
            "compression": _divide(1.9, 2.1, NORMAL_DURATION, _D245),
            "bearing": _divide(1.67, 1.67, 1.0, _D245),
            "wet bearing": _divide(1.67, 1.67, 1.0, _D245),
            "tension across": _divide(2.1, 2.3, NORMAL_DURATION, _D245),
            "buckling stiffness": _divide(1.66, 1.66, 1.0, "NDS E_min (from memory)"),
        },
    ),
    Rung(
        OWN_FACTOR,
        "k_u",
        "the shaft file",
        {name: (lambda s: 1.0 / s.own) for name in LIMITS if name not in ("stiffness", "buckling stiffness")},
    ),
)

LASTING: tuple[Limit, ...] = tuple(name for r in RUNGS if r.symbol == "k_life" for name in r.factors)
"""limits that lasting or repeated load lowers"""

PROPERTY_OF: Mapping[Limit, Property] = {
    "bending": "bending",
    "shear": "shear",
    "compression": "compression",
    "bearing": "bearing",
    "wet bearing": "bearing",
    "tension across": "tension_across",
    "stiffness": "stiffness",
    "buckling stiffness": "stiffness",
}
"""which property of a wood each limit starts from, and whose scatter it has"""


_SYMBOLS: dict[Limit, Sym] = {
    "bending": Sym("f_m", "Pa", "bending limit of the wood"),
    "shear": Sym("f_s", "Pa", "shear limit of the wood"),
    "compression": Sym("f_c", "Pa", "crushing limit along the grain"),
    "bearing": Sym("f_p", "Pa", "limit of compression across the grain"),
    "wet bearing": Sym("f_pw", "Pa", "limit of compression across the grain, where it stays wet"),
    "tension across": Sym("f_t", "Pa", "limit of tension across the grain"),
    "stiffness": Sym("E", "Pa", "modulus of elasticity in use"),
    "buckling stiffness": Sym("E_b", "Pa", "modulus of elasticity for buckling"),
}


@frozen(kw_only=False)
class Step:
    """One rung as it was climbed: the factor and the value after it [Pa]."""

    name: str
    factor: Array
    after: Array
    source: str


def ladder(name: Limit, setting: Setting) -> tuple[Step, ...]:
    """Return the table's mean and every rung down to the design limit [Pa], of the settings' broadcast shape."""
    value: Array = getattr(setting.wood.dry, PROPERTY_OF[name])
    steps = [Step("table, mean at 12 %", np.ones_like(value), value, "the wood's own row")]
    for rung in RUNGS:
        if name in rung.factors:
            factor = named(rung.factors[name](setting), Sym(rung.symbol, "", rung.name), rung.source)
            value = value * factor
            steps.append(Step(rung.name, factor, value, rung.source))
    if name == "tension across":
        value = np.minimum(value, _third_of_shear(setting))
        steps.append(Step("at most a third of the shear limit", np.ones_like(value), value, "judgement"))
    return tuple(steps)


def limit(name: Limit, setting: Setting) -> Array:
    """Return the design limit [Pa], before form, size and any joint."""
    return named(ladder(name, setting)[-1].after, _SYMBOLS[name], "the ladder: the table's mean times every rung")


_DOUBT = ("the low piece of 20", "safety", "the user's own factor")
"""rungs that are there because the piece in hand, the loads and the method are not known well"""


def expected(name: Limit, setting: Setting) -> Array:
    """Return what the mean piece carries [Pa]: the ladder without its rungs for doubt, the grain's mean effect.

    Moisture, lasting and repeated load are in it. For no use but to say what to expect.
    """
    value = np.asarray(getattr(setting.wood.dry, PROPERTY_OF[name]))
    for rung in RUNGS:
        if name in rung.factors and rung.name not in _DOUBT:
            mean_grain = name == "bending" and rung.name == "run-out of the grain"
            value = value * (SLOPE_MEAN(setting.slope) if mean_grain else rung.factors[name](setting))
    return value


def expected_break(setting: Setting) -> Array:
    """Return the bending stress at which about half of such shafts would have broken [Pa].

    Table mean, moisture as it is, a short pull, the grain's mean effect; no safety.
    """
    return setting.wood.dry.bending * _moisture("bending")(setting) * SLOPE_MEAN(setting.slope)


def piece_setting(
    piece: Piece, *, seconds: Array, cycles: Array, reversed_end: Array, repeated: Array, own: Array
) -> Setting:
    """Return the setting of a piece of wood with the batch shape lifted by one axis for the cases: (..., cases)."""
    return Setting(
        wood=map_arrays(lambda a: a[..., None], piece.wood),
        moisture=piece.moisture[..., None],
        slope=piece.slope[..., None],
        seconds=seconds,
        cycles=cycles,
        reversed_end=reversed_end,
        repeated=repeated,
        own=own,
    )


# -------------------------------------------------------------------------------------------------- form of a section

_CORE, _FLANGE = 28, 16
"""strips between the flanges, and in each of them"""
THIN = Table(
    "form of a hollow section, at most",
    "judgement: by wall over the lesser size, between thin flanges of aircraft wood (Newlin & Trayer, NACA Report 181, "
    "from memory) and the solid section",
    (0.25, 0.5),
    (0.80, 1.0),
)


_DEPTH = Sym("d", "m", "size in the direction of bending")
_WIDTH = Sym("w", "m", "size across it")
_EXPONENT = Sym("n", "", "exponent of the section's curve")
_WALL = Sym("t_w", "m", "wall")
_MOR_OVER = Sym("r_c", "", "modulus of rupture over crushing strength")
_BILINEAR = Sym("k_b", "", "moment of a hollow section over section modulus times modulus of rupture")
_BILINEAR_WORDS = "strips of a section that yields at its crushing strength, its neutral axis found by halving"
_BILINEAR_SOURCE = "Bazan's bilinear model as in Buchanan, Bending strength of lumber (1990) (from memory)"


def form_factor(depth: Array, width: Array, exponent: Array, wall: Array, ratio: Array) -> Array:
    """Return what a section's form and size take off the bending strength, never above 1.

    A solid section: the size effect alone. A hollow one: times the lesser of a bilinear section (the wood yields at
    its crushing strength on one side, stays elastic on the other, its tension strength fitted so that a solid
    rectangle gives the table's modulus of rupture) and `THIN`: 0.80 where the wall is under a quarter of the lesser
    size, and from there straight to 1 where the walls meet, so that no tube is weaker for being stouter (judgement:
    thin flanges of aircraft wood go to about 0.78, and the form factor rises with the part of the width that is wall,
    to 1 where the walls meet, Newlin & Trayer, NACA Report 181, from memory).

    Parameters
    ----------
    depth, width, exponent, wall : any one shape - section; depth in the direction of bending [m]
    ratio : same shape - modulus of rupture over crushing strength of the wood [-]; above 1 and below 3
    """
    size = np.minimum(size_factor(d=depth, test=TEST_SIZE, root=SIZE_ROOT), 1.0)
    hollow = wall < np.minimum(depth, width) / 2.0
    if not hollow.any():
        return size
    with quiet():
        inner = _bilinear(depth, width, exponent, np.where(hollow, wall, depth / 4.0), ratio)
    inputs = {_DEPTH: depth, _WIDTH: width, _EXPONENT: exponent, _WALL: wall, _MOR_OVER: ratio}
    bilinear = solved(inner, _BILINEAR, _BILINEAR_WORDS, _BILINEAR_SOURCE, inputs)
    thin = THIN(np.clip(np.where(hollow, wall, depth) / np.minimum(depth, width), THIN.x[0], THIN.x[-1]))
    return np.where(hollow, np.minimum(np.minimum(bilinear, thin), 1.0) * size, size)


def _bilinear(depth: Array, width: Array, exponent: Array, wall: Array, ratio: Array) -> Array:
    """Return the moment of a bilinear hollow section over its section modulus times the modulus of rupture.

    The tension strength over the crushing strength comes from the solid rectangle's closed form
    m = (3 n - 1) / (n + 1) (Bazan's bilinear model as in Buchanan, Bending strength of lumber, 1990, from memory).
    """
    n_t = np.where((ratio > 1.0) & (ratio < 3.0), (1.0 + ratio) / (3.0 - ratio), np.nan)[..., None]
    p = np.minimum(exponent, 200.0)[..., None]
    half, inner = (depth / 2.0)[..., None], np.maximum(depth / 2.0 - wall, 1e-12)[..., None]
    core, flange = ((np.arange(n) + 0.5) / n for n in (_CORE, _FLANGE))
    outward = inner + (half - inner) * flange
    z = np.concatenate([-outward, inner * (2.0 * core - 1.0), outward], axis=-1)
    thick, thin = (half - inner) / _FLANGE + 0.0 * outward, 2.0 * inner / _CORE + 0.0 * inner * core
    step = np.concatenate([thick, thin, thick], axis=-1)
    chord = (1.0 - np.abs(z / half) ** p) ** (1.0 / p)
    inside = np.maximum(1.0 - np.minimum(np.abs(z) / inner, 1.0) ** p, 0.0) ** (1.0 / p)
    strip = (chord * width[..., None] - inside * np.maximum(width - 2.0 * wall, 0.0)[..., None]) * step
    low, high = -half, half * (1.0 - 1e-6)
    for _ in range(45):
        axis = (low + high) / 2.0
        stress = np.maximum(n_t * (z - axis) / (half - axis), -1.0)
        pull = np.sum(stress * strip, axis=-1, keepdims=True) > 0.0
        low, high = np.where(pull, axis, low), np.where(pull, high, axis)
    stress = np.maximum(n_t * (z - low) / (half - low), -1.0)
    moment = np.sum(stress * strip * z, axis=-1)
    modulus = np.sum(strip * z * z, axis=-1) / half[..., 0]
    out: Array = moment / (modulus * ratio)
    return out
