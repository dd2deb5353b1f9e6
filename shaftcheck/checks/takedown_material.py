"""What a takedown joint's tube or pin is of: what is known of the material, and what it carries."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from shaftcheck.checks.joint import Setting
from shaftcheck.errors import NotFoundError
from shaftcheck.frozen import frozen

__all__ = ["ENDURES", "LAMINATE", "METAL", "Limits", "Material", "limits_of", "material"]

METAL, LAMINATE = 1.5, 3.0
"""what a metal's yield and a laminate's strength are divided by (judgement)"""
ENDURES: dict[str, float] = {"aluminium": 0.35, "steel": 0.40, "brass": 0.30, "glass": 0.30, "carbon": 0.30}
"""what is left of a tube's ultimate strength under millions of loads (from memory, with doubt) [-]"""


@frozen(eq=True)
class Limits:
    """What a tube material carries [Pa]; nan where it is not known."""

    along: float
    across: float
    shear: float
    endurance: float
    modulus: float
    """for buckling, divided as the strength is"""


@frozen(eq=True)
class Material:
    """A tube material that a shaft file names."""

    name: str
    limits: Limits
    density: float
    """nan where not known [kg/m3]"""
    trusted: bool
    """whether no value of it is of low trust"""


def limits_of(name: str, values: Mapping[str, float]) -> Limits:
    """Return the limits of a tube material by its values.

    A metal is known by its yield strength and is the same in all directions. A laminate is as strong as the least of
    what is known, and its pull and one of crushing or bending must be known.
    """

    def get(prop: str, way: str = "along") -> float:
        return values.get(f"{prop}, {way}", np.nan)

    def modulus(way: str) -> float:
        told = get("modulus of elasticity", way)
        return get("flexural modulus", way) if np.isnan(told) else told

    words = name.casefold()
    share = next((s for word, s in ENDURES.items() if word in words), np.nan)
    pull, yields = get("tensile strength"), get("yield strength")
    if not np.isnan(yields):
        limit = yields / METAL
        return Limits(
            along=limit,
            across=limit,
            shear=limit / 3.0**0.5,
            endurance=share * pull,
            modulus=get("modulus of elasticity") / METAL,
        )
    others = [v for v in (get("compressive strength"), get("flexural strength")) if not np.isnan(v)]
    least = min(pull, *others) if others else np.nan
    return Limits(
        along=least / LAMINATE,
        across=get("tensile strength", "across") / LAMINATE,
        shear=get("shear strength") / LAMINATE,
        endurance=share * least,
        modulus=float(np.minimum(modulus("along"), modulus("across"))) / LAMINATE,
    )


def material(s: Setting, key: str) -> Material | None:
    """Return the material that a key names, or note that there is none of that name."""
    name = s.word(key)
    try:
        values = {} if s.tubes is None else s.tubes(name)
    except NotFoundError as e:
        s.fault(key, e.wrong, e.write)
        return None
    return Material(
        name=name,
        limits=limits_of(name, values),
        density=values.get("density, along", np.nan),
        trusted=values.get("trust", np.nan) == 1.0,
    )
