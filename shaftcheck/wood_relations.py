"""What one figure of a wood tells about another: strength from specific gravity, gravity at another moisture.

Sources: Wood Handbook, FPL-GTR-282 (2021), Eq. 4-13, Eq. 4-14, Table 5-3 footnote c; Table 5-11a, whose coefficients
are quoted from memory. Held against the rows of Table 5-3, a value over its relation averages 0.99 to 1.06 in every
column, with a scatter of 0.06 to 0.15 for bending, stiffness, crushing and shear and of 0.12 to 0.21 for the two
properties across the grain.
"""

from __future__ import annotations

from shaftcheck.formula import Sym, formula
from shaftcheck.frozen import frozen
from shaftcheck.model import PROPERTIES, Array, Property
from shaftcheck.trace import constant

__all__ = [
    "AXIAL_OVER_BENDING",
    "GRAVITY_SHRINKAGE",
    "RELATIONS",
    "SATURATION",
    "USUAL_SHEAR_RATIO",
    "WATER",
    "Relation",
    "at_table_moisture",
    "density_at",
    "gravity_at_moisture",
    "gravity_from_density",
    "gravity_on_green_volume",
    "movement_rate",
    "plank_density",
    "plank_sag",
    "plank_stiffness",
    "shear_ratio_in_bending",
    "strength_from_gravity",
]

_HANDBOOK = "Wood Handbook, FPL-GTR-282 (2021)"

GRAVITY_SHRINKAGE = 0.265
"""volumetric shrinkage of a wood over its gravity on green volume (Wood Handbook, Eq. 4-12) [-]"""
SATURATION = 0.30
"""moisture at which shrinking begins, as those equations take it (Wood Handbook, Eq. 4-9) [-]"""
WATER = constant(1000.0, Sym("rho_w", "kg/m^3", "density of water"), "at any temperature that wood is used at")
"""density of water [kg/m3]"""
AXIAL_OVER_BENDING = 1.1
"""stiffness along the grain over the tabulated one, which a short beam's shear lowers (Table 5-3, footnote c) [-]"""
USUAL_SHEAR_RATIO = 0.0625
"""shear modulus over stiffness where a wood's own is not known: 1/16, usual for wood (from memory) [-]"""

_GREEN_GRAVITY = Sym("G_b", "", "specific gravity on green volume", low=0.05, high=1.3)
_DRY_GRAVITY = Sym("G_x", "", "specific gravity at the moisture x", low=0.05, high=1.5)
_MOISTURE = Sym("x", "", "moisture", low=0.0, high=0.30)
_SHRINKAGE = Sym("s", "", "volumetric shrinkage over gravity on green volume")
_SATURATION = Sym("x_s", "", "moisture at which shrinking begins")


@formula(
    Sym("G_x", "", "specific gravity at the moisture x"),
    f"{_HANDBOOK}, Eq. 4-13",
    green_gravity=_GREEN_GRAVITY,
    moisture=_MOISTURE,
    shrinkage=_SHRINKAGE,
    saturation=_SATURATION,
)
def gravity_at_moisture(*, green_gravity: Array, moisture: Array, shrinkage: Array, saturation: Array) -> Array:
    """Specific gravity at a moisture from the one on green volume, where shrinkage is not known."""
    return green_gravity / (1 - shrinkage * green_gravity * (1 - moisture / saturation))


@formula(
    Sym("G_b", "", "specific gravity on green volume"),
    f"{_HANDBOOK}, Eq. 4-13, solved for G_b",
    gravity=_DRY_GRAVITY,
    moisture=_MOISTURE,
    shrinkage=_SHRINKAGE,
    saturation=_SATURATION,
)
def gravity_on_green_volume(*, gravity: Array, moisture: Array, shrinkage: Array, saturation: Array) -> Array:
    """Specific gravity on green volume from the one at a moisture, where shrinkage is not known."""
    return gravity / (1 + shrinkage * gravity * (1 - moisture / saturation))


@formula(
    Sym("G_x", "", "specific gravity at the moisture x"),
    f"{_HANDBOOK}, Eq. 4-14, solved for G_x",
    density=Sym("rho", "kg/m^3", "density at the moisture x", low=50.0, high=1600.0),
    moisture=_MOISTURE,
    water=Sym("rho_w", "kg/m^3", "density of water"),
)
def gravity_from_density(*, density: Array, moisture: Array, water: Array) -> Array:
    """Specific gravity from the density at the same moisture."""
    return density / (water * (1 + moisture))


@formula(
    Sym("C", "", "change of size over change of moisture"),
    "Wood Handbook, FPL-GTR-190 (2010), ch. 13, dimension change (from memory; gives the figures of its Table 13-5)",
    shrinkage=Sym("S", "", "shrinkage from green to oven-dry, radial or tangential", low=0.0, high=0.35),
)
def movement_rate(*, shrinkage: Array) -> Array:
    """Swelling across the grain for each part of moisture, from 6 to 14 % and with good nearness to 20 %."""
    return 1 / (0.30 / shrinkage - 0.20)


@formula(
    Sym("r", "", "shear modulus over the tabulated modulus of elasticity"),
    f"{_HANDBOOK}, Table 5-3, footnote c",
    ratio=Sym("g", "", "shear modulus over the modulus of elasticity along the grain", low=0.0, high=0.5),
    axial_over_bending=Sym("k_E", "", "modulus along the grain over the tabulated one"),
)
def shear_ratio_in_bending(*, ratio: Array, axial_over_bending: Array) -> Array:
    """Shear modulus over the tabulated modulus of elasticity in bending."""
    return ratio * axial_over_bending


@formula(
    Sym("P", "Pa", "mean of the property"),
    f"{_HANDBOOK}, Table 5-11a (coefficients from memory)",
    coefficient=Sym("a", "Pa", "coefficient of the relation", low=0.0),
    gravity=Sym("G", "", "specific gravity in the relation's own condition", low=0.28, high=0.90),
    exponent=Sym("b", "", "exponent of the relation"),
)
def strength_from_gravity(*, coefficient: Array, gravity: Array, exponent: Array) -> Array:
    """Mean strength or stiffness that goes with a specific gravity, within the gravities of Table 5-3."""
    return coefficient * gravity**exponent


@formula(
    Sym("rho", "kg/m^3", "density at the moisture in use"),
    f"{_HANDBOOK}, Eq. 4-14; the gravity at 12 % stands for the one at any moisture from 12 to 20 %, where it falls by "
    "under 3 %",
    gravity=Sym("G", "", "specific gravity"),
    moisture=Sym("M", "", "moisture"),
    water=Sym("rho_w", "kg/m^3", "density of water"),
)
def density_at(*, gravity: Array, moisture: Array, water: Array) -> Array:
    """Density of a wood at a moisture: mass and volume both at that moisture."""
    return water * gravity * (1 + moisture)


@formula(
    Sym("rho", "kg/m^3", "density of a plank as it lies there"),
    "mass over volume, by definition",
    mass=Sym("m", "kg", "mass", low=0.0),
    length=Sym("l", "m", "length", low=0.0),
    width=Sym("b", "m", "width", low=0.0),
    thickness=Sym("t", "m", "thickness", low=0.0),
)
def plank_density(*, mass: Array, length: Array, width: Array, thickness: Array) -> Array:
    """Density of a plank from its weight and its sizes."""
    return mass / (length * width * thickness)


@formula(
    Sym("delta", "m", "sag that the weight adds"),
    f"{_HANDBOOK}, Eq. 9-2 for a load at mid-span (k_b = 1/48, k_s = 1/4; a rectangle's A' = 5 A/6)",
    force=Sym("W", "N", "weight hung at mid-span", low=0.0),
    span=Sym("L", "m", "from support to support", low=0.0),
    width=Sym("b", "m", "width, lying", low=0.0),
    thickness=Sym("t", "m", "thickness, upright", low=0.0),
    axial=Sym("E_L", "Pa", "modulus of elasticity along the grain, free of shear", low=0.0),
    ratio=Sym("g", "", "shear modulus over the modulus of elasticity along the grain", low=0.0, high=0.5),
)
def plank_sag(*, force: Array, span: Array, width: Array, thickness: Array, axial: Array, ratio: Array) -> Array:
    """Sag of a plank that lies flat on two supports, under a weight at mid-span."""
    return force * span / (axial * width * thickness) * (span * span / (4 * thickness * thickness) + 3 / (10 * ratio))


@formula(
    Sym("E_L", "Pa", "modulus of elasticity along the grain, free of shear"),
    f"{_HANDBOOK}, Eq. 9-2 for a load at mid-span (k_b = 1/48, k_s = 1/4; a rectangle's A' = 5 A/6), solved for E_L",
    force=Sym("W", "N", "weight hung at mid-span", low=0.0),
    span=Sym("L", "m", "from support to support", low=0.0),
    width=Sym("b", "m", "width, lying", low=0.0),
    thickness=Sym("t", "m", "thickness, upright", low=0.0),
    sag=Sym("delta", "m", "sag that the weight adds", low=0.0),
    ratio=Sym("g", "", "shear modulus over the modulus of elasticity along the grain", low=0.0, high=0.5),
)
def plank_stiffness(*, force: Array, span: Array, width: Array, thickness: Array, sag: Array, ratio: Array) -> Array:
    """Stiffness of a plank from its sag, lying flat on two supports."""
    return force * span / (sag * width * thickness) * (span * span / (4 * thickness * thickness) + 3 / (10 * ratio))


@formula(
    Sym("P_12", "Pa", "value at 12 % moisture"),
    f"{_HANDBOOK}, Eq. 5-3, solved for P_12 of the piece by the ratio of its wood",
    value=Sym("P", "Pa", "value measured at the moisture M", low=0.0),
    dry=Sym("P_d", "Pa", "the wood's mean at 12 % moisture", low=0.0),
    green=Sym("P_g", "Pa", "the wood's mean when green", low=0.0),
    moisture=Sym("M", "", "moisture when measured, at most M_p", low=0.05, high=0.35),
    green_at=Sym("M_p", "", "moisture at which drying begins to tell", low=0.15, high=0.35),
    dry_at=Sym("M_12", "", "moisture of the table, 12 %"),
)
def at_table_moisture(
    *, value: Array, dry: Array, green: Array, moisture: Array, green_at: Array, dry_at: Array
) -> Array:
    """Value at 12 % of a piece that was measured wetter or drier."""
    return value * (dry / green) ** ((moisture - dry_at) / (green_at - dry_at))


@frozen(eq=True)
class Relation:
    """One line of Table 5-11a: property = coefficient x gravity ^ exponent."""

    coefficient: float
    """[Pa]"""
    exponent: float
    """[-]"""
    scatter: float
    """of woods about the relation [-]"""
    basis: str
    """what the scatter rests on"""


_FOUND, _NOT_FOUND = 0.15, 0.25
"""scatter of woods about a relation, where rows of Table 5-3 tell it and where none do (judgement) [-]"""
_TESTED = "scatter 0.15: the top of what was found against the rows of Table 5-3"
_UNTESTED = "scatter 0.25: judgement, above what was found against the rows of Table 5-3"

_MPA: dict[Property, tuple[tuple[float, float], ...]] = {
    #                 green softwood, green hardwood, 12 % softwood, 12 % hardwood
    "bending": ((109.6, 1.01), (118.7, 1.16), (170.7, 1.01), (171.3, 1.13)),
    "stiffness": ((16_100.0, 0.76), (13_900.0, 0.72), (20_500.0, 0.84), (16_500.0, 0.70)),
    "compression": ((49.7, 0.94), (49.0, 1.11), (93.7, 0.97), (76.0, 0.89)),
    "bearing": ((8.8, 1.53), (18.5, 2.48), (16.5, 1.57), (21.6, 2.09)),
    "shear": ((11.0, 0.73), (17.8, 1.24), (16.6, 0.85), (21.9, 1.13)),
    "tension_across": ((3.8, 0.78), (10.5, 1.37), (6.0, 1.11), (10.1, 1.30)),
}
"""coefficient [MPa] and exponent, Table 5-11a, from memory"""


def _relation(prop: Property, column: int) -> Relation:
    a, b = _MPA[prop][column]
    tested = column >= 2 and prop in ("bending", "stiffness", "compression", "shear")
    scatter, basis = (_FOUND, _TESTED) if tested else (_NOT_FOUND, _UNTESTED)
    return Relation(coefficient=a * 1e6, exponent=b, scatter=scatter, basis=basis)


RELATIONS: dict[tuple[Property, str, str], Relation] = {
    (prop, condition, kind): _relation(prop, column)
    for prop in PROPERTIES
    for column, (condition, kind) in enumerate(
        (("green", "softwood"), ("green", "hardwood"), ("12 %", "softwood"), ("12 %", "hardwood"))
    )
}
"""Relation by property, condition ('green', '12 %') and kind ('softwood', 'hardwood')."""
