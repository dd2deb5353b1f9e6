"""A plank in hand: what its weight and its sag tell of its strength, against its wood's table.

Measured weight and stiffness replace the table's for mass and movement. For limits they may only lower: each strength
is the table's, times what the lower of two routes leaves of it, by weight and (bending) by stiffness, at most 1. The
expected strength may also rise, by the published relation, and carries its scatter.
"""

from __future__ import annotations

import numpy as np

from shaftcheck.frozen import frozen
from shaftcheck.model import PROPERTIES, Array, Property, Wood, number
from shaftcheck.strength import DRY_AT, Z95, lower_five_percent
from shaftcheck.wood_relations import (
    AXIAL_OVER_BENDING,
    GRAVITY_SHRINKAGE,
    RELATIONS,
    SATURATION,
    WATER,
    at_table_moisture,
    density_at,
    gravity_at_moisture,
    gravity_from_density,
    gravity_on_green_volume,
    strength_from_gravity,
)

__all__ = ["CONDITIONS", "Revised", "by_relation", "dry_density", "dry_gravity", "revise", "unfit", "unsure"]

CONDITIONS = ("12 %", "green")

LIGHT = 1.0 - Z95 * 0.10
"""a plank under this part of its wood's mean gravity is lighter than 95 of 100: Table 5-6, 10 % (from memory)"""
SOFT = 1.0 - Z95 * 0.22
"""the same of stiffness: Wood Handbook Table 5-6, 22 %"""
HEAVY, LIMP = 1.10, 0.90
"""weight above, and stiffness below, these parts of its wood's mean tell of compression wood (judgement)"""
STEEPEST = 1 / 10
"""run-out at which a board is left for other work (judgement: it keeps 0.61 of its bending strength)"""
WIDE_RING = 0.0254 / 6.0
"""softwood: at least six rings to the inch, as aircraft spruce is asked for (from memory) [m]"""
NARROW_RING = 0.0254 / 20.0
"""ring-porous hardwood: more than twenty to the inch is light and brash (common practice, no source) [m]"""
RING_POROUS = ("Carya", "Castanea", "Fraxinus", "Quercus", "Robinia", "Ulmus")
ROUGHEST = 0.1
"""reading error over the sag, above which a stiffness is no measurement (judgement) [-]"""
WETTEST = 0.20
"""moisture above which a plank is to be dried first (common practice, no source)"""


@frozen
class Revised:
    """What a plank is taken as; every array of the batch shape."""

    gravity: Array
    """at 12 % [-]: measured, or the table's"""
    gravity_ratio: Array
    """measured over the table's; nan where not weighed [-]"""
    stiffness: Array
    """measured, on the table's basis and at 12 %; nan where not measured [Pa]"""
    stiffness_ratio: Array
    """over the table's; nan where not measured [-]"""
    keeps: dict[tuple[Property, str], Array]
    """what is left of the table's mean for limits, by property and condition, at most 1; nan where the relation does
    not reach the gravity [-]"""
    bending: Array
    """expected mean of the plank at 12 %, by its weight [Pa]; the table's where not weighed"""
    bending_low: Array
    bending_high: Array
    """5 and 95 % marks about it, by the scatter of the relation [Pa]"""


def dry_gravity(density: Array, moisture: Array) -> Array:
    """Return specific gravity at 12 % from the density at a moisture [kg/m3], by way of green volume."""
    rest = {"shrinkage": number(GRAVITY_SHRINKAGE), "saturation": number(SATURATION)}
    there = gravity_from_density(density=density, moisture=moisture, water=WATER)
    held = np.minimum(moisture, SATURATION)
    green = gravity_on_green_volume(gravity=there, moisture=held, **rest)
    return gravity_at_moisture(green_gravity=green, moisture=DRY_AT, **rest)


def dry_density(gravity: Array | float) -> Array:
    """Return the density at 12 % of wood of a specific gravity there [kg/m3]."""
    return density_at(gravity=np.asarray(gravity), moisture=DRY_AT, water=WATER)


def by_relation(prop: Property, condition: str, gravity: Array, hardwood: Array) -> Array:
    """Return the mean that goes with a gravity at 12 %, in a condition, for woods of either kind [Pa]."""
    soft, hard = RELATIONS[prop, condition, "softwood"], RELATIONS[prop, condition, "hardwood"]
    there = gravity
    if condition == "green":
        there = gravity_on_green_volume(
            gravity=gravity, moisture=DRY_AT, shrinkage=number(GRAVITY_SHRINKAGE), saturation=number(SATURATION)
        )
    is_hard = hardwood == 1.0
    return strength_from_gravity(
        coefficient=np.where(is_hard, hard.coefficient, soft.coefficient),
        gravity=there,
        exponent=np.where(is_hard, hard.exponent, soft.exponent),
    )


def _over(prop: Property, condition: str, gravity: Array, wood: Wood) -> Array:
    """Return the relation at a gravity over the relation at the table's."""
    return by_relation(prop, condition, gravity, wood.hardwood) / by_relation(
        prop, condition, wood.gravity, wood.hardwood
    )


def _by_stiffness(condition: str, ratio: Array, hardwood: Array) -> Array:
    """Return bending over the table's from stiffness over the table's: both relations, the gravity taken out."""

    def power(kind: str) -> float:
        return RELATIONS["bending", condition, kind].exponent / RELATIONS["stiffness", condition, kind].exponent

    return ratio ** np.where(hardwood == 1.0, power("hardwood"), power("softwood"))


def revise(wood: Wood, *, density: Array, stiffness: Array, moisture: Array) -> Revised:
    """Return what planks are taken as.

    Parameters
    ----------
    wood : the table's means
    density : as weighed [kg/m3]; nan where not weighed
    stiffness : modulus along the grain as measured, free of shear [Pa]; nan where not measured
    moisture : when both were measured [-]
    """
    weighed, bent = ~np.isnan(density), ~np.isnan(stiffness)
    gravity = dry_gravity(density, moisture)
    flat = at_table_moisture(
        value=stiffness,
        dry=wood.dry.stiffness,
        green=wood.green.stiffness,
        moisture=np.minimum(moisture, wood.green_at),
        green_at=wood.green_at,
        dry_at=DRY_AT,
    )
    flat = flat / AXIAL_OVER_BENDING
    ratio = flat / wood.dry.stiffness
    keeps: dict[tuple[Property, str], Array] = {}
    for condition in CONDITIONS:
        for prop in PROPERTIES:
            if prop == "stiffness":
                left = np.where(bent, np.minimum(ratio, 1.0), 1.0)
            else:
                left = np.where(weighed, np.minimum(_over(prop, condition, gravity, wood), 1.0), 1.0)
            if prop == "bending":
                left = np.where(bent, np.minimum(left, _by_stiffness(condition, ratio, wood.hardwood)), left)
            keeps[prop, condition] = left
    over = np.where(weighed, _over("bending", "12 %", gravity, wood), 1.0)
    mean = wood.dry.bending * over
    hard = wood.hardwood == 1.0
    scatter = np.where(
        hard, RELATIONS["bending", "12 %", "hardwood"].scatter, RELATIONS["bending", "12 %", "softwood"].scatter
    )
    low = mean * lower_five_percent(v=scatter)
    return Revised(
        gravity=np.where(weighed, gravity, wood.gravity),
        gravity_ratio=gravity / wood.gravity,
        stiffness=flat,
        stiffness_ratio=ratio,
        keeps=keeps,
        bending=mean,
        bending_low=low,
        bending_high=2.0 * mean - low,
    )


def unfit(r: Revised, *, clear: bool, slope: float, ring: float, genus: str, hard: bool) -> list[str]:
    """Return why a single plank is not for oars, whatever the shaft; none where nothing speaks against it.

    Parameters
    ----------
    ring : mean width of a ring [m]; nan where not counted
    genus : botanical, of its wood
    """
    out = []
    if not clear:
        out.append("not clear on all faces: knots, splits, rot, creases and compression wood are outside the method")
    if not slope <= STEEPEST:
        out.append(f"its grain runs out 1:{1.0 / slope:.3g}, steeper than 1:10 (judgement)")
    if float(r.gravity_ratio) < LIGHT:
        out.append("lighter than 95 of 100 of its wood (Table 5-6, from memory): brash, or another wood")
    if float(r.stiffness_ratio) < SOFT:
        out.append("softer than 95 of 100 of its wood (Table 5-6)")
    if not hard and float(r.gravity_ratio) > HEAVY and float(r.stiffness_ratio) < LIMP:
        out.append("heavy and yet soft: compression wood is so (Wood Handbook ch. 5, from memory; bounds: judgement)")
    if not hard and ring > WIDE_RING:
        out.append("fewer than six rings to the inch, the least in aircraft spruce (from memory)")
    if genus in RING_POROUS and ring < NARROW_RING:
        out.append("more than twenty rings to the inch: slow-grown, light and brash (common practice, no source)")
    return out


def unsure(r: Revised, *, slope_told: bool, ring: float, rough: float, moisture: float) -> list[str]:
    """Return what must be measured before a plank can be called good.

    Parameters
    ----------
    rough : how closely the sag was read, over the sag [-]
    """
    out = []
    if moisture > WETTEST:
        out.append("dry it first: too wet to be judged or glued (common practice, no source)")
    if np.isnan(r.gravity_ratio):
        out.append("weigh it")
    if np.isnan(r.stiffness_ratio):
        out.append("measure its sag")
    elif not rough <= ROUGHEST:
        out.append("read its sag to a tenth of it: a dial gauge, more weight, a wider span")
    if not slope_told:
        out.append("measure its run-out")
    if np.isnan(ring):
        out.append("count its rings")
    return out
