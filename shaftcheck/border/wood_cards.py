"""What is known of one wood, gathered from its rows, and the wood as the model takes it.

Where printings or origins differ, every row is kept and the lower figure is taken (the higher specific gravity, for
weight). What no source prints stays unknown (nan) and is named for each check that needs it; it is filled only on
request, by a named relation that is lowered by its scatter.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from math import isnan, nan
from typing import Any

import numpy as np

from shaftcheck import wood_relations as relations
from shaftcheck.border.wood_rows import ANY, BONDING, CONDITIONS, COV, HIGHER, MEAN, PRINTED, SHRINKAGE, WoodRow
from shaftcheck.frozen import frozen
from shaftcheck.model import PROPERTIES, Array, Property, Values, Wood, number
from shaftcheck.strength import lower_five_percent

__all__ = ["Estimate", "Lack", "WoodCard", "group_card", "make_card", "model_wood", "with_estimates"]


@frozen(eq=True)
class Lack:
    """A value that no source prints, and the check that cannot be made without it."""

    check: str
    needs: str


@frozen(eq=True)
class WoodCard:
    """All that is known of one wood."""

    name: str
    botanical: str
    kind: str
    """softwood or hardwood"""
    origin: str
    other_names: tuple[str, ...]
    rows: tuple[WoodRow, ...]
    bonding: str
    """easily, well, satisfactorily, with difficulty; empty where the list does not name the wood"""
    bonding_source: str
    missing: tuple[Lack, ...]
    assumptions: tuple[str, ...]
    note: str
    members: tuple[WoodCard, ...] = ()
    """the woods it may be, where the origin is unknown"""


@frozen(eq=True)
class Estimate:
    """A value that no source prints, filled by a relation with specific gravity and lowered by its scatter."""

    wood: str
    property: Property
    condition: str
    value: float
    """[Pa]"""
    relation: float
    """what the relation gives before it is lowered [Pa]"""
    gravity: float
    """[-]"""
    scatter: float
    """[-]"""
    source: str


def make_card(*, rows: tuple[WoodRow, ...], general: tuple[WoodRow, ...], **rest: Any) -> WoodCard:
    """Return a card: the row taken for each figure marked, what is missing and what is assumed said.

    `general` are the rows that hold for any wood: scatter, and the moisture at which drying tells, which is left out
    where the wood has its own.
    """
    own = any(r.property == "intersection moisture" for r in rows)
    rows = _take(rows + tuple(r for r in general if not own or r.property != "intersection moisture"))
    bare = WoodCard(rows=rows, missing=(), assumptions=(), **rest)
    return replace(bare, missing=_lacks(bare), assumptions=_assumptions(bare))


def _key(row: WoodRow) -> tuple[str, str, str]:
    return row.statistic, row.property, row.condition


def _take(rows: Sequence[WoodRow]) -> tuple[WoodRow, ...]:
    """Mark the lower of the printings of each figure; the higher where that is the careful one."""
    best: dict[tuple[str, str, str], WoodRow] = {}
    for r in rows:
        k = _key(r)
        careful = max if r.property in HIGHER or r.statistic == COV else min
        best[k] = careful(best[k], r, key=lambda r: r.value) if k in best else r
    return tuple(replace(r, taken=r is best[_key(r)]) for r in rows)


def _value(card: WoodCard, prop: str, condition: str, statistic: str = MEAN) -> float:
    """Return the figure taken [SI]; nan where none is."""
    k = (statistic, prop, condition)
    return next((r.value for r in card.rows if r.taken and _key(r) == k), nan)


def _gravities(card: WoodCard, condition: str) -> list[float]:
    """Return every printing of specific gravity in one condition, those from a density among them; none may be."""
    found = [r.value for r in card.rows if (r.property, r.condition, r.statistic) == ("specific gravity", condition,
                                                                                       MEAN)]  # fmt: skip
    for r in card.rows:
        if (r.property, r.condition) == ("density", condition):
            g = relations.gravity_from_density(density=number(r.value), moisture=number(0.12), water=relations.WATER)
            found.append(float(g))
    return found


def _gravity(card: WoodCard, condition: str, careful: Callable[[list[float]], float]) -> float:
    """Return the specific gravity in one condition, turned from the other one where only that is printed; or nan."""
    if own := _gravities(card, condition):
        return careful(own)
    other = "green" if condition == "12 %" else "12 %"
    if not (found := _gravities(card, other)):
        return nan
    rest = {
        "moisture": number(0.12),
        "shrinkage": number(relations.GRAVITY_SHRINKAGE),
        "saturation": number(relations.SATURATION),
    }
    g = number(careful(found))
    if condition == "12 %":
        return float(relations.gravity_at_moisture(green_gravity=g, **rest))
    return float(relations.gravity_on_green_volume(gravity=g, **rest))


def _shear_ratio(card: WoodCard) -> float:
    """Return the shear modulus over the tabulated stiffness: the softer plane; nan where a plane is not known."""
    given = _value(card, "shear ratio", "12 %")
    if not isnan(given):
        return given
    lower = number(np.minimum(_value(card, "GLR/EL", "12 %"), _value(card, "GLT/EL", "12 %")))
    if np.isnan(lower):
        return nan
    return float(relations.shear_ratio_in_bending(ratio=lower, axial_over_bending=number(relations.AXIAL_OVER_BENDING)))


_CHECKS: tuple[tuple[str, Property], ...] = (
    ("bending", "bending"),
    ("shear", "shear"),
    ("bearing across the grain", "bearing"),
    ("tension across the grain, splitting", "tension_across"),
    ("crushing along the grain", "compression"),
    ("stiffness and movement", "stiffness"),
)


def _lacks(card: WoodCard) -> tuple[Lack, ...]:
    """Return what the card does not know, for each check that needs it."""
    found = [
        Lack(check=check, needs=f"{PRINTED[prop]} at 12 %")
        for check, prop in _CHECKS
        if isnan(_value(card, PRINTED[prop], "12 %"))
    ]
    if isnan(_gravity(card, "12 %", max)):
        found.append(Lack(check="weight", needs="specific gravity"))
    green = [PRINTED[prop] for _, prop in _CHECKS if isnan(_value(card, PRINTED[prop], "green"))]
    if green:
        found.append(Lack(check="moisture adjustment", needs=f"{', '.join(green)} when green"))
    if any(isnan(_value(card, p, "green to oven-dry")) for p in SHRINKAGE[:2]):
        found.append(Lack(check="swelling", needs="radial and tangential shrinkage"))
    return tuple(found)


def _assumptions(card: WoodCard) -> tuple[str, ...]:
    found = []
    if not _gravities(card, "12 %") and _gravities(card, "green"):
        found.append(
            "specific gravity at 12 % is derived from the one on green volume (Wood Handbook, FPL-GTR-282, Eq. 4-13)"
        )
    if isnan(_shear_ratio(card)):
        found.append("shear modulus taken as 1/16 of the stiffness: usual for wood, from memory")
    if not any(r.taken and r.wood != ANY and r.property == "intersection moisture" for r in card.rows):
        found.append("drying taken to tell below 25 %: the handbook's value for a wood without its own (Table 5-13)")
    found.append("scatter is that of clear wood in general, or the wood's own where that is larger")
    return tuple(found)


def group_card(members: tuple[WoodCard, ...], *, name: str, differ: str, **rest: Any) -> WoodCard:
    """Return the card of a wood of unknown origin: the lower of its origins, unknown where one of them is.

    `differ` says of what it takes the lower; the rest are the fields of the card that its members do not give.
    """
    best: dict[tuple[str, str, str], set[str]] = {}
    for k in dict.fromkeys(_key(r) for m in members for r in m.rows):
        statistic, prop, condition = k
        if prop in ("specific gravity", "density") and statistic == MEAN:
            values = [_gravity(m, "12 %", max) for m in members]
        else:
            values = [_value(m, prop, condition, statistic) for m in members]
        if not any(isnan(v) for v in values):
            careful = max if prop in HIGHER or statistic == COV else min
            best[k] = {m.name for m, v in zip(members, values, strict=True) if v == careful(values)}
    rows = dict.fromkeys(replace(r, taken=r.taken and m.name in best.get(_key(r), ())) for m in members for r in m.rows)
    lacks: dict[str, list[str]] = {}
    for m in members:
        for lack in m.missing:
            lacks.setdefault(lack.check, []).append(f"{lack.needs} of {m.name}")
    bonds = {m.bonding for m in members}
    worst = max(bonds, key=BONDING.index) if "" not in bonds else ""
    return WoodCard(
        name=name,
        botanical=members[0].botanical,
        kind=members[0].kind,
        origin="unknown",
        rows=_one_general(tuple(rows)),
        bonding=worst,
        bonding_source=next((m.bonding_source for m in members if worst and m.bonding == worst), ""),
        missing=tuple(Lack(check=c, needs="; ".join(n)) for c, n in lacks.items()),
        assumptions=(
            f"origin unknown: {differ}; where one of them has no value, none is known",
            *dict.fromkeys(a for m in members for a in m.assumptions),
        ),
        members=members,
        **rest,
    )


def _one_general(rows: tuple[WoodRow, ...]) -> tuple[WoodRow, ...]:
    """Keep a row that holds for any wood once, taken where it is for any of the members."""
    taken = {replace(r, taken=True) for r in rows if r.taken and r.wood == ANY}
    return tuple(r for r in rows if r.taken or r.wood != ANY or replace(r, taken=True) not in taken)


def _single(card: WoodCard, filled: Mapping[tuple[Property, str], float]) -> Wood:
    def values(get: Callable[[Property], float]) -> Values:
        return Values(**{p: number(get(p)) for p in PROPERTIES})

    def strength(condition: str) -> Callable[[Property], float]:
        return lambda p: filled.get((p, condition), _value(card, PRINTED[p], condition))

    ratio = _shear_ratio(card)
    return Wood(
        name=card.name,
        dry=values(strength("12 %")),
        green=values(strength("green")),
        scatter=values(lambda p: _value(card, PRINTED[p], "green", COV)),
        hardwood=number(float(card.kind == "hardwood")),
        green_at=number(_value(card, "intersection moisture", "-")),
        gravity=number(_gravity(card, "12 %", max)),
        least_gravity=number(_gravity(card, "12 %", min)),
        shear_ratio=number(relations.USUAL_SHEAR_RATIO if isnan(ratio) else ratio),
        measured_stiffness=number(_value(card, "measured stiffness", "12 %")),
        shrinks_radially=number(_value(card, SHRINKAGE[0], "green to oven-dry")),
        shrinks_tangentially=number(_value(card, SHRINKAGE[1], "green to oven-dry")),
        bonding=number(BONDING.index(card.bonding) if card.bonding else nan),
    )


def _lowest(name: str, woods: Sequence[Wood]) -> Wood:
    """Return the careful one of several woods, figure by figure; unknown where one is unknown."""

    def each(get: Callable[[Wood], Values], careful: Any) -> Values:
        return Values(**{p: number(careful.reduce([getattr(get(w), p) for w in woods])) for p in PROPERTIES})

    def one(get: Callable[[Wood], Array], careful: Any) -> Array:
        return number(careful.reduce([get(w) for w in woods]))

    return Wood(
        name=name,
        dry=each(lambda w: w.dry, np.minimum),
        green=each(lambda w: w.green, np.minimum),
        scatter=each(lambda w: w.scatter, np.maximum),
        hardwood=woods[0].hardwood,
        green_at=one(lambda w: w.green_at, np.minimum),
        gravity=one(lambda w: w.gravity, np.maximum),
        least_gravity=one(lambda w: w.least_gravity, np.minimum),
        shear_ratio=one(lambda w: w.shear_ratio, np.minimum),
        shrinks_radially=one(lambda w: w.shrinks_radially, np.maximum),
        shrinks_tangentially=one(lambda w: w.shrinks_tangentially, np.maximum),
        bonding=one(lambda w: w.bonding, np.maximum),
    )


def model_wood(card: WoodCard) -> Wood:
    """Return a wood as the model takes it, arrays of shape (); nan for what no source prints."""
    if card.members:
        return _lowest(card.name, [model_wood(m) for m in card.members])
    return _single(card, {})


def with_estimates(card: WoodCard) -> tuple[Wood, tuple[Estimate, ...]]:
    """Return a wood whose missing strengths and stiffness are estimated from its specific gravity, and the estimates.

    Each is the relation of Wood Handbook Table 5-11a (from memory) at the lower printed gravity of the condition,
    lowered to what 95 of 100 woods exceed; one for green wood is never above the value at 12 %. Without a gravity, or
    with one outside 0.28 to 0.90, they stay nan.
    """
    if card.members:
        pairs = [with_estimates(m) for m in card.members]
        return _lowest(card.name, [w for w, _ in pairs]), tuple(e for _, es in pairs for e in es)
    filled: dict[tuple[Property, str], float] = {}
    made: list[Estimate] = []
    for condition in CONDITIONS:  # 12 % first: it caps the green value
        gravity = _gravity(card, condition, min)
        for prop in PROPERTIES:
            if isnan(gravity) or not isnan(_value(card, PRINTED[prop], condition)):
                continue
            r = relations.RELATIONS[prop, condition, card.kind]
            mean = relations.strength_from_gravity(
                coefficient=number(r.coefficient), gravity=number(gravity), exponent=number(r.exponent)
            )
            if np.isnan(mean):
                continue
            value = float(mean * lower_five_percent(v=number(r.scatter)))
            if condition == "green":
                dry = filled.get((prop, "12 %"), _value(card, PRINTED[prop], "12 %"))
                value = float(np.fmin(value, dry))
            filled[prop, condition] = value
            made.append(
                Estimate(
                    wood=card.name, property=prop, condition=condition, value=value, relation=float(mean),
                    gravity=gravity, scatter=r.scatter,
                    source=f"Wood Handbook, FPL-GTR-282 (2021), Table 5-11a, from memory; {r.basis}",
                )
            )  # fmt: skip
    return _single(card, filled), tuple(made)
