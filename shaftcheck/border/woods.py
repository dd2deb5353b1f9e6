"""The woods and the tube materials: the only reader of species_data, and the reader of a user's own woods."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache
from importlib.resources import files

from shaftcheck.border.wood_cards import Estimate, Lack, WoodCard, group_card, make_card, model_wood, with_estimates
from shaftcheck.border.wood_rows import (
    ANY,
    BONDING,
    COLUMNS,
    CONDITIONS,
    COV,
    KINDS,
    MEAN,
    PRINTED,
    RULES,
    SCATTER,
    TubeCard,
    TubeRow,
    WoodRow,
    bounds_in,
    cells,
    choose,
    first_cell,
    lines_below,
    nearest,
    read_lines,
    read_tubes,
    read_values,
    wood_row,
    wrong_number,
)
from shaftcheck.errors import DataError, Fault, InputError, NotFoundError
from shaftcheck.frozen import frozen
from shaftcheck.model import PROPERTIES

__all__ = [
    "CONDITIONS",
    "COV",
    "PRINTED",
    "Estimate",
    "Lack",
    "Told",
    "TubeCard",
    "TubeRow",
    "WoodCard",
    "WoodRow",
    "find",
    "find_tube",
    "model_wood",
    "names",
    "origins",
    "read_tubes",
    "read_values",
    "user_wood",
    "with_estimates",
]


_SOURCES = ("source", "title", "year", "edition", "note")
_VALUES = ("strength.csv", "shrinkage.csv", "elastic_ratios.csv", "scatter.csv", "intersection.csv")


def _read(file: str) -> str:
    return (files("shaftcheck.species_data") / file).read_text("utf-8")


def _checked(file: str, columns: tuple[str, ...], wrong: Callable[[list[str]], Fault | None]) -> list[list[str]]:
    """Return the rows of a file of names or classes, refused as a whole if a row is wrong or stands twice."""
    faults: list[Fault] = []
    found: dict[str, list[str]] = {}
    for line, row in cells(lines_below(_read(file), file, columns), columns, faults):
        fault = Fault("", f"'{row[0]}' stands twice", "name it once") if row[0] in found else wrong(row)
        if fault:
            faults.append(replace(fault, key=f"line {line}"))
        found[row[0]] = row
    if faults:
        raise DataError(file, faults)
    return list(found.values())


@cache
def _sources() -> dict[str, str]:
    """Return the text of each source by its id."""

    def wrong(row: list[str]) -> Fault | None:
        return None if row[1] else Fault("", f"source '{row[0]}' has no title", "write its title")

    rows = _checked("sources.csv", _SOURCES, wrong)
    return {r[0]: ", ".join(part for part in r[1:4] if part) for r in rows}


@frozen
class Told:
    """What one source tells of woods or tubes."""

    source: str
    note: str
    gives: tuple[str, ...]
    """which properties"""
    rows: Mapping[str, int]
    """how many were come by how: seen, derived, from memory"""


def origins() -> tuple[Told, ...]:
    """Return every source of the woods and tubes, with how many rows rest on it, in the order of `sources.csv`."""
    from collections import Counter
    from csv import DictReader

    notes = {r[0]: r[4] for r in _checked("sources.csv", _SOURCES, lambda row: None)}
    rows: dict[str, list[tuple[str, str]]] = {key: [] for key in notes}
    for file in (*_VALUES, "bonding.csv", "tubes.csv"):
        for row in DictReader(_read(file).splitlines()):
            rows[row["source"]].append((row.get("property", "bonding"), row["how"]))
    return tuple(
        Told(
            source=_sources()[key],
            note=notes[key],
            gives=tuple(dict.fromkeys(what for what, _ in rows[key])),
            rows=Counter(how for _, how in rows[key]),
        )
        for key in notes
    )


@cache
def _names() -> dict[str, list[str]]:
    """Return the row of names.csv of each wood."""

    def wrong(row: list[str]) -> Fault | None:
        return None if row[2] in KINDS else Fault("", f"'{row[2]}' is no kind of wood", "write softwood or hardwood")

    head = ("wood", "botanical", "kind", "origin", "species", "other names", "names from", "note")
    return {r[0]: r for r in _checked("names.csv", head, wrong)}


@cache
def _file(file: str) -> dict[str, list[tuple[int, str]]]:
    """Return the lines of a file of values with their numbers, by wood."""
    found: dict[str, list[tuple[int, str]]] = {}
    for number, line in lines_below(_read(file), file, COLUMNS):
        found.setdefault(first_cell(line), []).append((number, line))
    return found


def _rows(file: str, wood: str) -> list[list[str]]:
    """Return the rows of one wood; those of others are left unread."""
    return read_lines(_file(file).get(wood, ()), file, woods=(wood,), sources=_sources()).get(wood, [])


@cache
def _bonding() -> dict[str, list[str]]:
    """Return the row of bonding.csv of each wood that the list names."""

    def wrong(row: list[str]) -> Fault | None:
        if row[0] in _names() and row[1] in BONDING and row[2] in _sources():
            return None
        return Fault("", f"'{row[0]}, {row[1]}' with source '{row[2]}'", "a known wood, class and source are needed")

    head = ("wood", "class", "source", "place", "how", "note")
    return {r[0]: r for r in _checked("bonding.csv", head, wrong)}


def _plain(name: str) -> str:
    """Return a name without what people write differently: case, hyphens, order about a comma."""
    last, _, first = name.partition(",")
    return " ".join(f"{first} {last}".casefold().replace("-", " ").split())


@cache
def _spoken() -> dict[str, str]:
    """Return the wood meant by every name that is known, its own first."""
    known = _names()
    found = {_plain(name): name for name in known}
    for name, row in known.items():
        for other in _others(row):
            found.setdefault(_plain(other), name)
    botanical: dict[str, list[str]] = {}
    for name, row in known.items():
        if not row[4] and "spp." not in row[1]:
            botanical.setdefault(_plain(row[1]), []).append(name)
    for latin, woods in botanical.items():
        if len(woods) == 1:
            found.setdefault(latin, woods[0])
    return found


def names() -> tuple[str, ...]:
    """Return the names of all woods, in alphabetical order."""
    return tuple(sorted(_names(), key=str.casefold))


def _others(row: list[str]) -> tuple[str, ...]:
    return tuple(p.strip() for p in row[5].split(";") if p.strip())


@cache
def find(name: str) -> WoodCard:
    """Return what is known of a wood, by one of its names; case and hyphens do not matter.

    Raises
    ------
    NotFoundError
        if no wood has that name; it carries the nearest names.
    DataError
        if a data file is wrong.
    """
    spoken = _spoken()
    exact = spoken.get(_plain(name))
    if exact is None:
        raise _not_known(name)
    members = tuple(find(n) for n, row in _names().items() if row[4] == exact)
    if not members:
        return _printed_card(exact)
    row = _names()[exact]
    note = f"botanical and other names {row[6]}"
    return group_card(members, name=exact, differ=row[7], other_names=_others(row), note=note)


def _not_known(name: str) -> NotFoundError:
    """Return the error of a wood that is not known: woods of that word, those of most rows first; else those alike."""
    word, spoken = _plain(name), _spoken()
    inside = [n for n in names() if word and re.search(rf"\b{re.escape(word)}", _plain(n))]
    inside.sort(key=lambda n: -len(_rows("strength.csv", n)))
    alike = [spoken[n] for n in nearest(word, spoken, 6)]
    words = set(word.split())
    shared = [n for n in names() if words & set(_plain(n).split())]
    shared.sort(key=lambda n: -len(words & set(_plain(n).split())))
    near = list(dict.fromkeys([*inside, *(spoken[n] for n in nearest(word, spoken, 3, 0.75)), *shared, *alike]))
    return NotFoundError("wood", name, near, f"shaftcheck woods {word if len(inside) > 1 else ''}".strip())


@cache
def _general() -> tuple[WoodRow, ...]:
    """Return the rows that hold for any wood."""
    raw = [*_rows("scatter.csv", ANY), *_rows("intersection.csv", ANY)]
    return tuple(wood_row(r, _sources()) for r in raw)


def _printed_card(name: str) -> WoodCard:
    """Return the card of one wood of the files."""
    row, sources = _names()[name], _sources()
    raw = [r for file in _VALUES for r in _rows(file, name)]
    bonds = _bonding().get(name)
    return make_card(
        rows=tuple(wood_row(r, sources) for r in raw),
        general=_general(),
        name=name,
        botanical=row[1],
        kind=row[2],
        origin=row[3],
        other_names=_others(row),
        bonding=bonds[1] if bonds else "",
        bonding_source=", ".join(p for p in (sources[bonds[2]], bonds[3], bonds[5]) if p) if bonds else "",
        note="; ".join(p for p in (row[7], f"botanical and other names {row[6]}") if p),
    )


_OWN: dict[str, tuple[str, str]] = {
    **{f"{p}_{c}": (PRINTED[p], k) for p in PROPERTIES for c, k in (("12", "12 %"), ("green", "green"))},
    "gravity_12": ("specific gravity", "12 %"),
    "gravity_green": ("specific gravity", "green"),
    "density_12": ("density", "12 %"),
    "green_at": ("intersection moisture", "-"),
    "shear_ratio": ("shear ratio", "12 %"),
    "shrinkage_radial": ("radial shrinkage", "green to oven-dry"),
    "shrinkage_tangential": ("tangential shrinkage", "green to oven-dry"),
    "stiffness_measured": ("measured stiffness", "12 %"),
    **{f"{p}_scatter": (PRINTED[p], "green") for p in PROPERTIES},
}
_TEXTS = ("name", "kind", "source", "botanical", "origin", "bonding", "note")
_STIFF = '"10 GPa"'
_EXAMPLES = {"Pa": '"71 MPa"', "": '"0.41", a moisture or shrinkage as "25 %"', "kg/m^3": '"450 kg/m^3"'}


def _own_value(key: str, given: object, source: str, name: str) -> WoodRow | Fault:
    """Return one value of a user's wood as a row, or what is wrong with it."""
    prop, condition = _OWN[key]
    statistic = COV if key.endswith("_scatter") else MEAN
    rule = SCATTER if statistic == COV else RULES[prop]
    stiff = key.startswith("stiffness") and statistic == MEAN
    write = f"write a number with its unit in quotes, such as {_STIFF if stiff else _EXAMPLES[rule.unit]}"
    if isinstance(given, (int, float)) and not isinstance(given, bool) and not rule.unit:
        given = str(given)
    if not isinstance(given, str):
        return Fault(key, f"{given!r} has no unit" if isinstance(given, (int, float)) else "not a text", write)
    m = re.fullmatch(r"\s*([0-9]*\.?[0-9]+(?:[eE][+-]?[0-9]+)?|[0-9]+\.)\s*([A-Za-z%].*?)?\s*", given)
    if not m:
        if comma := re.fullmatch(r"\s*([0-9]+),([0-9]{1,2}(?![0-9]).*)", given):
            write = f"write {comma[1]}.{comma[2]}"
        return Fault(key, f"'{given}' is not a number with a unit", write)
    value, unit = m[1], m[2] or ("1" if not rule.unit else "")
    bounds = bounds_in(prop, rule, unit)
    wrong = bounds if isinstance(bounds, Fault) else wrong_number(value, bounds, prop, unit)
    if wrong:
        return Fault(key, wrong.wrong, write if isinstance(bounds, Fault) else wrong.write)
    return wood_row([name, prop, condition, value, unit, statistic, source, f"key {key}", "given", ""], {})


def user_wood(table: Mapping[str, object], name: str | None = None) -> WoodCard:
    """Return a user's own wood, given as a TOML table: means of small clear straight-grained pieces.

    Keys: `kind` (softwood, hardwood) and `source` are required; `botanical`, `origin`, `bonding`, `note`; and values in
    quotes with their units: `bending_12`, `bending_green` and so on for shear, compression, bearing, tension_across and
    stiffness; `gravity_12`, `gravity_green` or `density_12`; `green_at`, `shear_ratio`, `shrinkage_radial`,
    `shrinkage_tangential`; `bending_scatter` and so on, taken where larger than clear wood's in general;
    `stiffness_measured` of the piece in hand, for movement alone. What is left out stays unknown.

    Raises
    ------
    InputError
        with every fault of the table.
    """
    given = table.get("name")
    called = name if name is not None else given if isinstance(given, str) and given.strip() else "own wood"
    faults = [
        Fault(key, "not a text", f"write {key} in quotes")
        for key in _TEXTS
        if key in table and not (isinstance(table[key], str) and str(table[key]).strip())
    ]
    texts = {key: str(table.get(key, "")).strip() for key in _TEXTS}
    if texts["kind"] not in KINDS:
        wrong = f"'{texts['kind']}' is no kind of wood" if "kind" in table else "needed and not given"
        faults.append(Fault("kind", wrong, "write softwood or hardwood"))
    if not texts["source"] and "source" not in {f.key for f in faults}:
        faults.append(Fault("source", "no source", "write where the values come from"))
    if texts["bonding"] and texts["bonding"] not in BONDING:
        faults.append(Fault("bonding", f"'{texts['bonding']}' is no class", f"write one of: {', '.join(BONDING)}"))
    if _plain(called) in _spoken():
        faults.append(
            Fault("name", f"'{called}' is a wood of the tables already", "give your own wood a name of its own")
        )
    rows: list[WoodRow] = []
    for key, value in table.items():
        if key in _OWN:
            row = _own_value(key, value, texts["source"], called)
            rows.append(row) if isinstance(row, WoodRow) else faults.append(row)
        elif key not in _TEXTS:
            faults.append(Fault(key, "not a key of a wood", choose(key, (*_TEXTS, *_OWN))))
    if not faults and not rows:
        faults.append(
            Fault("bending_12", "no value, and none else", "write at least one, as bending_12 or stiffness_12")
        )
    if faults:
        raise InputError(called, faults)
    return make_card(
        name=called,
        botanical=texts["botanical"],
        kind=texts["kind"],
        origin=texts["origin"] or "not told",
        other_names=(),
        rows=tuple(rows),
        general=_general(),
        bonding=texts["bonding"],
        bonding_source=texts["source"] if texts["bonding"] else "",
        note=texts["note"],
    )


@cache
def _tubes() -> dict[str, TubeCard]:
    return read_tubes(_read("tubes.csv"), "tubes.csv", sources=_sources())


def find_tube(name: str) -> TubeCard:
    """Return what is known of a tube material; case and hyphens do not matter.

    Raises
    ------
    NotFoundError
        if there is none of that name; it carries the nearest names.
    """
    known = {" ".join(n.casefold().replace("-", " ").split()): n for n in _tubes()}
    word = " ".join(name.casefold().replace("-", " ").split())
    if word not in known:
        inside = [n for k, n in known.items() if word and word in k]
        near = [known[k] for k in nearest(word, known)]
        raise NotFoundError("tube material", name, list(dict.fromkeys(inside + near)) or list(known.values()))
    return _tubes()[known[word]]
