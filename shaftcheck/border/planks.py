"""Planks in hand: `[[plank]]` tables of a shaft file or of a shelf file of their own, read, and made woods of."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from shaftcheck.beam import GRAVITY
from shaftcheck.border.hints import told_in
from shaftcheck.border.shaftfile import Entry, entries, own_woods, unread
from shaftcheck.border.shown import show
from shaftcheck.border.wood_cards import WoodCard, model_wood
from shaftcheck.border.wood_rows import COV, PRINTED
from shaftcheck.border.woods import find, user_wood
from shaftcheck.border.write import figure
from shaftcheck.errors import Fault, InputError
from shaftcheck.frozen import frozen
from shaftcheck.key import Key
from shaftcheck.model import PROPERTIES, Wood, number
from shaftcheck.said import Dimension
from shaftcheck.studies.planks import CONDITIONS, Revised, revise
from shaftcheck.wood_relations import AXIAL_OVER_BENDING, plank_density, plank_stiffness

__all__ = ["PLANK", "Plank", "own_table", "planks"]

PLANK: dict[str, Key] = {
    "name": Key(kind="text", help="what you call it", example="left of the door"),
    "of": Key(kind="wood", help="a wood of the tables, or one of your own", example="Sitka spruce (US)"),
    "clear": Key(
        kind="choice",
        help="looked at on all faces and found free of knots, splits, rot, creases and compression wood",
        example="yes",
        choices=("yes", "no"),
    ),
    "runout": Key(
        kind="slope",
        help="how far the grain runs out, on the worse of two faces",
        example="1:20",
        assume="1:15",
        high=1 / 6,
    ),
    "moisture": Key(
        kind="moisture", help="measured, when it was weighed", example="11 %", optional=True, low=0.06, high=0.35
    ),
    "length": Key(kind="length", help="of the plank", example="2.6 m", optional=True, low=0.1, high=12.0),
    "width": Key(kind="length", help="of the plank", example="120 mm", optional=True, low=0.005, high=1.0),
    "thickness": Key(kind="length", help="of the plank", example="55 mm", optional=True, low=0.005, high=0.5),
    "weight": Key(kind="mass", help="of the plank, dry on its faces", example="7.4 kg", optional=True, low=0.01),
    "sag": Key(
        kind="length",
        help="what the weight below adds at mid-span, the plank lying flat on two supports",
        example="12 mm",
        optional=True,
        low=0.0002,
        high=0.5,
    ),
    "sag_weight": Key(kind="mass", help="hung at mid-span", example="10 kg", optional=True, low=0.05, high=500.0),
    "sag_span": Key(kind="length", help="from support to support", example="2.2 m", optional=True, low=0.1, high=10.0),
    "sag_read_to": Key(
        kind="length",
        help="how closely the sag was read; a tape reads to 0.5 mm, a dial gauge to 0.05 mm",
        example="0.05 mm",
        assume="0.5 mm",
        low=0.000001,
        high=0.01,
    ),
    "rings": Key(kind="count", help="counted on an end, across the rings ...", example="14", optional=True, low=1.0),
    "rings_over": Key(kind="length", help="... over this length", example="25 mm", optional=True, low=0.003, high=0.3),
}


@frozen
class Plank:
    """One plank as it was understood; sizes in SI, nan where not told."""

    name: str
    """as it is called in a shaft file's [own_wood]: its own name and its wood"""
    short: str
    """its own name"""
    card: WoodCard
    """of its wood, as the tables have it"""
    clear: bool
    slope: float
    slope_told: bool
    moisture: float
    length: float
    width: float
    thickness: float
    density: float
    """as weighed [kg/m3]"""
    stiffness: float
    """along the grain, as measured [Pa]"""
    rough: float
    """how closely the sag was read, over the sag [-]"""
    ring: float
    """mean width of a ring [m]"""
    revised: Revised
    base: Wood
    """as the table has its wood"""
    wood: Wood
    """as the model takes it: measured for weight and movement, lowered at most for limits"""


def planks(doc: Mapping[str, Any], name: str) -> tuple[Plank, ...]:
    """Return the planks of a shelf file, or of a shaft file; none may be there.

    Raises
    ------
    InputError
        with every fault of them at once.
    """
    rows = doc.get("plank", [])
    if not isinstance(rows, list) or any(not isinstance(r, Mapping) for r in rows):
        raise InputError(name, [Fault("plank", "not a list of tables", "write [[plank]] above each one")])
    own, faults = own_woods(doc.get("own_wood", {}))
    faults += unread(doc)
    out: list[Plank] = []
    for i, row in enumerate(rows, 1):
        try:
            out.append(_plank(f"plank.{i}", row, own))
        except InputError as e:
            faults += e.faults
    seen: set[str] = set()
    for plank in out:
        if plank.name in seen:
            faults.append(Fault("plank", f"two are called '{plank.name}'", "give each a name of its own"))
        seen.add(plank.name)
    if faults:
        raise InputError(name, faults)
    return tuple(out)


def _plank(where: str, row: Mapping[str, Any], own: Mapping[str, WoodCard]) -> Plank:
    found = {path.rpartition(".")[2]: e for path, e in entries(where, row, PLANK, own).items()}

    def size(key: str) -> float:
        value = found[key].value if key in found else None
        return math.nan if value is None else float(value)

    faults: list[Fault] = []
    missing = [k for k in ("length", "width", "thickness") if k not in found]
    if "weight" in found:
        faults += [Fault(f"{where}.{k}", "needed where the plank was weighed", "measure it") for k in missing]
    sag = [k for k in ("sag", "sag_weight", "sag_span") if k in found]
    if sag:
        needs = ("sag", "sag_weight", "sag_span", "width", "thickness")
        faults += [
            Fault(f"{where}.{k}", "needed where the sag was measured", "measure it") for k in needs if k not in found
        ]
    if ("weight" in found or sag) and "moisture" not in found:
        wrong = "needed where weight or sag was measured: water weighs, and softens"
        faults.append(Fault(f"{where}.moisture", wrong, 'measure it with a meter and write moisture = "11 %"'))
    if ("rings" in found) != ("rings_over" in found):
        faults.append(Fault(f"{where}.rings", "a count needs the length it was counted over", "give both, or neither"))
    card = own.get(str(found["of"].value)) or find(str(found["of"].value))
    if faults:
        raise InputError(where, faults)
    base = model_wood(card)
    density = float(
        plank_density(
            mass=number(size("weight")),
            length=number(size("length")),
            width=number(size("width")),
            thickness=number(size("thickness")),
        )
    )
    stiffness = float(
        plank_stiffness(
            force=number(size("sag_weight") * GRAVITY),
            span=number(size("sag_span")),
            width=number(size("width")),
            thickness=number(size("thickness")),
            sag=number(size("sag")),
            ratio=base.shear_ratio / AXIAL_OVER_BENDING,
        )
    )
    what: tuple[tuple[str, Dimension, float, float, float], ...] = (
        ("weight", "density", density, 80.0, 1400.0),
        ("sag", "stiffness", stiffness, 1.5e9, 32.0e9),
    )
    for key, dimension, value, low, high in what:
        if not math.isnan(value) and not low <= value <= high:
            wrong = f"gives {show(value, dimension, told_in(row))}: no wood is so"
            faults.append(Fault(f"{where}.{key}", wrong, "measure it again"))
    if faults:
        raise InputError(where, faults)
    try:
        return _made(found, size, card, base, density, stiffness)
    except InputError:
        wrong = f"measured too far from {card.name} for its strengths to be told"
        raise InputError(where, [Fault(where, wrong, "measure it again, or name the wood that it is")]) from None


def _made(
    found: Mapping[str, Entry],
    size: Callable[[str], float],
    card: WoodCard,
    base: Wood,
    density: float,
    stiffness: float,
) -> Plank:
    told = revise(base, density=number(density), stiffness=number(stiffness), moisture=number(size("moisture")))
    name = str(found["name"].value).strip()
    called = f"{name} ({card.name})"
    plank = Plank(
        name=called,
        short=name,
        card=card,
        clear=found["clear"].value == "yes",
        slope=size("runout"),
        slope_told=found["runout"].how != "assumed",
        moisture=size("moisture"),
        length=size("length"),
        width=size("width"),
        thickness=size("thickness"),
        density=density,
        stiffness=stiffness,
        rough=size("sag_read_to") / size("sag"),
        ring=size("rings_over") / size("rings"),
        revised=told,
        base=base,
        wood=base,
    )
    return replace(plank, wood=model_wood(user_wood(own_table(plank), plank.name)))


def own_table(plank: Plank) -> dict[str, str]:
    """Return the plank as a table of [own_wood], so that `check` takes it as the study did: limits rounded down."""
    base, r = plank.base, plank.revised
    out = {
        "kind": plank.card.kind,
        "source": "a plank in hand: its wood's table, never raised for limits; weight and movement as measured",
    }
    for condition, values in zip(CONDITIONS, (base.dry, base.green), strict=True):
        for prop in PROPERTIES:
            value = float(getattr(values, prop) * r.keeps[prop, condition])
            if not math.isnan(value):
                out[f"{prop}_{'12' if condition == '12 %' else condition}"] = f"{figure(value / 1e6, 'down')} MPa"
    if not math.isnan(float(r.gravity)):
        out["gravity_12"] = figure(float(r.gravity))
    if not math.isnan(float(r.stiffness)):
        out["stiffness_measured"] = f"{figure(float(r.stiffness) / 1e6)} MPa"
    out["green_at"] = f"{figure(float(base.green_at) * 100.0)} %"
    out["shear_ratio"] = figure(float(base.shear_ratio))
    for prop in PROPERTIES:
        rows = [w for w in plank.card.rows if w.taken and w.statistic == COV and w.property == PRINTED[prop]]
        if rows:
            out[f"{prop}_scatter"] = f"{figure(float(getattr(base.scatter, prop)) * 100.0)} %"
    if plank.card.bonding:
        out["bonding"] = plank.card.bonding
    return out
