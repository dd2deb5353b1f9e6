"""Rows of the wood and tube files: what a row may hold, and the refusal of those that it may not.

Text in, rows out; nothing is read from a disk here. Bounds are wide enough for any wood: they catch a wrong unit or a
slipped digit, and are a judgement.
"""

from __future__ import annotations

import csv
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from math import isnan, nan

from shaftcheck.border.units import factor
from shaftcheck.errors import DataError, Fault
from shaftcheck.frozen import frozen
from shaftcheck.model import Property

__all__ = [
    "ANY",
    "BONDING",
    "COLUMNS",
    "CONDITIONS",
    "COV",
    "HIGHER",
    "KINDS",
    "MEAN",
    "PRINTED",
    "RULES",
    "SCATTER",
    "SHRINKAGE",
    "Rule",
    "TubeCard",
    "TubeRow",
    "WoodRow",
    "bounds_in",
    "cells",
    "choose",
    "first_cell",
    "lines_below",
    "nearest",
    "read_lines",
    "read_tubes",
    "read_values",
    "wood_row",
    "wrong_number",
]

Row = list[str]
"""the cells of a line, as printed"""
CONDITIONS = ("12 %", "green")
ANY = "any wood"
COLUMNS = ("wood", "property", "condition", "value", "unit", "statistic", "source", "place", "how", "note")
TUBE_COLUMNS = ("material", "property", "direction", "value", "unit", "kind", "source", "place", "how", "trust", "note")
PRINTED: dict[Property, str] = {
    "bending": "modulus of rupture",
    "shear": "shear along",
    "compression": "compression along",
    "bearing": "compression across",
    "tension_across": "tension across",
    "stiffness": "modulus of elasticity",
}
"""How the tables name each property of the model."""

BONDING = ("easily", "well", "satisfactorily", "with difficulty")
HOW = ("seen", "from memory", "derived")
KINDS = ("softwood", "hardwood")
MEAN, COV = "mean", "coefficient of variation"
HIGHER = {"specific gravity", "density", "radial shrinkage", "tangential shrinkage", "volumetric shrinkage"}
"""Where the higher figure is the careful one."""


@frozen(kw_only=False, eq=True)
class Rule:
    """What a property may be: its inner unit, bounds in it (wide enough for any wood: judgement), its conditions."""

    unit: str
    low: float
    high: float
    conditions: tuple[str, ...]


ELASTIC = ("ET/EL", "ER/EL", "GLR/EL", "GLT/EL", "GRT/EL")
SHRINKAGE = ("radial shrinkage", "tangential shrinkage", "volumetric shrinkage")
RULES: dict[str, Rule] = {
    "specific gravity": Rule("", 0.05, 1.4, CONDITIONS),
    "density": Rule("kg/m^3", 60.0, 1500.0, ("12 %",)),
    "modulus of rupture": Rule("Pa", 8e6, 300e6, CONDITIONS),
    "modulus of elasticity": Rule("Pa", 1e9, 35e9, CONDITIONS),
    "measured stiffness": Rule("Pa", 1e9, 35e9, ("12 %",)),
    "compression along": Rule("Pa", 4e6, 150e6, CONDITIONS),
    "compression across": Rule("Pa", 0.3e6, 40e6, CONDITIONS),
    "shear along": Rule("Pa", 1e6, 40e6, CONDITIONS),
    "tension across": Rule("Pa", 0.3e6, 20e6, CONDITIONS),
    "side hardness": Rule("N", 200.0, 25e3, CONDITIONS),
    "intersection moisture": Rule("", 0.15, 0.35, ("-",)),
    "shear ratio": Rule("", 0.01, 0.3, ("12 %",)),
    **{p: Rule("", 0.003, 0.35, ("green to oven-dry",)) for p in SHRINKAGE},
    **{p: Rule("", 0.001, 0.5, ("12 %",)) for p in ELASTIC},
}
SCATTER = Rule("", 0.02, 0.5, CONDITIONS)
TUBE_RULES: dict[str, Rule] = {
    "tensile strength": Rule("Pa", 20e6, 5e9, ()),
    "yield strength": Rule("Pa", 20e6, 3e9, ()),
    "compressive strength": Rule("Pa", 20e6, 3e9, ()),
    "flexural strength": Rule("Pa", 20e6, 5e9, ()),
    "shear strength": Rule("Pa", 5e6, 2e9, ()),
    "modulus of elasticity": Rule("Pa", 1e9, 700e9, ()),
    "flexural modulus": Rule("Pa", 1e9, 700e9, ()),
    "density": Rule("kg/m^3", 500.0, 12e3, ()),
}


@frozen(eq=True)
class WoodRow:
    """One printed figure of a wood."""

    wood: str
    property: str
    condition: str
    value: float
    """in SI: Pa, N, kg/m3, or a fraction"""
    printed: str
    unit: str
    statistic: str
    source: str
    place: str
    how: str
    """seen, from memory, derived, or given (by the user)"""
    note: str
    taken: bool
    """whether it is the one taken among the printings of the same figure"""


@frozen(eq=True)
class TubeRow:
    """One printed figure of a tube material; values in SI, fields as in WoodRow."""

    property: str
    direction: str
    value: float
    printed: str
    unit: str
    kind: str
    """minimum or typical"""
    source: str
    place: str
    how: str
    trust: str
    """good, fair or low"""
    note: str
    taken: bool


@frozen(eq=True)
class TubeCard:
    """All that is known of one tube material."""

    name: str
    rows: tuple[TubeRow, ...]

    def value(self, prop: str, direction: str = "along") -> float:
        """Return the lowest minimum, or the lowest typical value where no minimum is known; nan where none is [SI]."""
        return next((r.value for r in self.rows if r.taken and (r.property, r.direction) == (prop, direction)), nan)


def nearest(word: str, known: Iterable[str], count: int = 3, cutoff: float = 0.5) -> list[str]:
    """Return the known words nearest to one."""
    from difflib import get_close_matches

    return get_close_matches(word, list(known), n=count, cutoff=cutoff)


def choose(word: str, known: Sequence[str]) -> str:
    """Return what to write instead of a word that is not known."""
    near = nearest(word, known, 1)
    return f"write {near[0]}" if near else f"write one of: {', '.join(known)}"


def lines_below(text: str, file: str, columns: Sequence[str]) -> list[tuple[int, str]]:
    """Return the lines of a file below its heading, with their numbers.

    Raises
    ------
    DataError
        if the heading is another one.
    """
    lines = text.splitlines()
    if tuple(next(csv.reader(lines[:1]), ())) != tuple(columns):
        raise DataError(file, [Fault("line 1", "not the heading of this file", f"write {','.join(columns)}")])
    return list(enumerate(lines[1:], 2))


def first_cell(line: str) -> str:
    """Return the first cell of a line."""
    return next(csv.reader([line]))[0] if line.startswith('"') else line.partition(",")[0]


def cells(lines: Iterable[tuple[int, str]], columns: Sequence[str], faults: list[Fault]) -> Iterator[tuple[int, Row]]:
    """Yield the rows of a file with their line numbers; rows that have not the right number of cells become faults."""
    count = len(columns)
    for number, line in lines:
        # a line without quotes is split as csv.reader would, in a third of the time; a cell never runs over lines
        row = next(csv.reader([line]), []) if '"' in line else line.split(",")
        if len(row) == count:
            yield number, row
        elif line.strip():
            write = f"write {count}: {', '.join(columns)}"
            faults.append(Fault(f"line {number}", f"{len(row)} cells", write))


def _factor(unit: str, to: str) -> float:
    return 1.0 if unit == "1" and not to else factor(unit, to)


def bounds_in(prop: str, rule: Rule, unit: str) -> tuple[float, float] | Fault:
    """Return the bounds of a property in the unit of a row, or what is wrong with the unit (its key left empty)."""
    if not unit:
        return Fault("", f"no unit for {prop}", "write the unit as printed, 1 for a plain ratio")
    if unit == "1" and rule.unit:
        return Fault("", f"'1' is no unit for {prop}", "write the unit as printed")
    try:
        scale = _factor(unit, rule.unit)
    except (LookupError, ValueError) as e:
        return Fault("", f"unknown unit for {prop}: {e}", "write the unit as printed, as units.txt spells it")
    return rule.low / scale, rule.high / scale


def wrong_number(value: str, bounds: tuple[float, float], prop: str, unit: str) -> Fault | None:
    """Return what is wrong with a number as printed, its key left empty; None where nothing is."""
    try:
        v = float(value) if "_" not in value else nan
    except ValueError:
        v = nan
    if bounds[0] <= v <= bounds[1]:
        return None
    low, high = (f"{b:.0f}" if b >= 1000.0 else f"{b:.4g}" for b in bounds)
    shown = f"{low} to {high}" + ("" if unit == "1" else f" {unit}")
    if isnan(v):
        return Fault("", f"'{value}' is not a number", f"write a number from {shown}")
    return Fault("", f"{value} {unit} cannot be the {prop} of any material here", f"write a value from {shown}")


def read_values(text: str, file: str, *, woods: Collection[str], sources: Collection[str]) -> dict[str, list[Row]]:
    """Return the rows of a whole file of wood values, as printed, by wood; parameters and errors as `read_lines`."""
    return read_lines(lines_below(text, file, COLUMNS), file, woods=woods, sources=sources)


def read_lines(
    lines: Iterable[tuple[int, str]], file: str, *, woods: Collection[str], sources: Collection[str]
) -> dict[str, list[Row]]:
    """Return the rows in lines of a file of wood values, as printed, by wood.

    Parameters
    ----------
    lines : with their numbers; file : its name, for messages
    woods, sources : the names and source ids that it may use

    Raises
    ------
    DataError
        if a unit is missing or unknown, a value cannot be, a property, condition, statistic, wood or source is not
        known: all faults of the file together, each with its line.
    """
    found: dict[str, list[Row]] = {}
    faults: list[Fault] = []
    good: dict[tuple[str, str, str, str, str], tuple[float, float]] = {}

    for line, row in cells(lines, COLUMNS, faults):
        wood, prop, condition, value, unit, statistic, source, _, how, _ = row
        key = (prop, condition, unit, statistic, how)
        if (bounds := good.get(key)) and source in sources and wood in woods and "_" not in value:
            try:
                fine = bounds[0] <= float(value) <= bounds[1]
            except ValueError:
                fine = False
            if fine:
                found.setdefault(wood, []).append(row)
                continue
        wrong, bounds = _row_faults(key)
        if bounds:
            if not wrong:
                good[key] = bounds
            wrong.append(wrong_number(value, bounds, prop, unit))
        if source not in sources:
            near = "write the id of a source that sources.csv lists"
            wrong.append(Fault("", f"source '{source}' is not in sources.csv" if source else "no source", near))
        if wood not in woods:
            wrong.append(Fault("", f"wood '{wood}' is not in names.csv", "write it there first"))
        if bad := [replace(f, key=f"line {line}") for f in wrong if f]:
            faults += bad
        else:
            found.setdefault(wood, []).append(row)
    if faults:
        raise DataError(file, faults)
    return found


def _row_faults(key: tuple[str, str, str, str, str]) -> tuple[list[Fault | None], tuple[float, float] | None]:
    """Return what is wrong with a row apart from its number, wood and source, and the bounds of its number."""
    prop, condition, unit, statistic, how = key
    wrong: list[Fault | None] = []
    if how not in HOW:
        wrong.append(Fault("", f"'{how}' is not a way to obtain a value", f"write one of: {', '.join(HOW)}"))
    if statistic not in (MEAN, COV):
        wrong.append(Fault("", f"statistic '{statistic}' is not known", f"write {MEAN} or {COV}"))
    rule = RULES.get(prop)
    if rule is None:
        return [*wrong, Fault("", f"property '{prop}' is not known", choose(prop, tuple(RULES)))], None
    rule = SCATTER if statistic == COV else rule
    if condition not in rule.conditions:
        known = ", ".join(rule.conditions)
        wrong.append(Fault("", f"condition '{condition}' is not known for {prop}", f"write one of: {known}"))
    bounds = bounds_in(prop, rule, unit)
    return ([*wrong, bounds], None) if isinstance(bounds, Fault) else (wrong, bounds)


def read_tubes(text: str, file: str, *, sources: Mapping[str, str]) -> dict[str, TubeCard]:
    """Return the tube materials of a file, by name; `sources` gives the text of each source id.

    Raises
    ------
    DataError
        as `read_values` does.
    """
    faults: list[Fault] = []
    cards: dict[str, list[TubeRow]] = {}
    for line, row in cells(lines_below(text, file, TUBE_COLUMNS), TUBE_COLUMNS, faults):
        material, prop, direction, value, unit, kind, source, place, how, trust, note = row
        rule = TUBE_RULES.get(prop)
        bounds = bounds_in(prop, rule, unit) if rule else Fault("", f"property '{prop}' is not known", choose(
            prop, tuple(TUBE_RULES)))  # fmt: skip
        wrong: list[Fault | None] = [bounds if isinstance(bounds, Fault) else wrong_number(value, bounds, prop, unit)]
        for cell, known in (
            (direction, ("along", "across", "flatwise")),
            (kind, ("minimum", "typical")),
            (how, HOW),
            (trust, ("good", "fair", "low")),
        ):
            if cell not in known:
                wrong.append(Fault("", f"'{cell}' is not known here", f"write one of: {', '.join(known)}"))
        if source not in sources:
            wrong.append(Fault("", f"source '{source}' is not in sources.csv" if source else "no source", "name one"))
        if bad := [replace(f, key=f"line {line}") for f in wrong if f]:
            faults += bad
            continue
        new = TubeRow(
            property=prop, direction=direction, value=float(value) * _factor(unit, TUBE_RULES[prop].unit),
            printed=value, unit=unit, kind=kind, source=sources[source], place=place, how=how, trust=trust,
            note=note, taken=False,
        )  # fmt: skip
        cards.setdefault(material, []).append(new)
    if faults:
        raise DataError(file, faults)
    return {name: TubeCard(name=name, rows=_take_tubes(rows)) for name, rows in cards.items()}


def _take_tubes(rows: Sequence[TubeRow]) -> tuple[TubeRow, ...]:
    """Mark the lowest minimum of each figure, or the lowest typical value where there is no minimum."""
    best: dict[tuple[str, str], TubeRow] = {}
    for r in sorted(rows, key=lambda r: (r.kind, r.value)):
        best.setdefault((r.property, r.direction), r)
    return tuple(replace(r, taken=r is best[r.property, r.direction]) for r in rows)


def wood_row(row: Sequence[str], sources: Mapping[str, str]) -> WoodRow:
    """Return a row in SI; its numbers and units were found right, `sources` gives the text of each source id."""
    wood, prop, condition, value, unit, statistic, source, place, how, note = row
    to = SCATTER.unit if statistic == COV else RULES[prop].unit
    return WoodRow(
        wood=wood, property=prop, condition=condition, value=float(value) * _factor(unit, to), printed=value,
        unit=unit, statistic=statistic, source=sources.get(source, source), place=place, how=how, note=note,
        taken=False,
    )  # fmt: skip
