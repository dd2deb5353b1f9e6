"""The woods as text: a list of them, one of them whole, one as a record. Nothing is computed here."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import asdict, fields
from math import isnan
from typing import Any

from tabulate import tabulate

from shaftcheck.border import woods
from shaftcheck.border.shown import System
from shaftcheck.border.units import factor
from shaftcheck.border.woods import Estimate, WoodCard, WoodRow
from shaftcheck.errors import Fault, InputError
from shaftcheck.model import PROPERTIES, Array, Values, Wood
from shaftcheck.said import percent
from shaftcheck.show.kept import filled
from shaftcheck.show.lookup import not_found

__all__ = ["card", "listing", "matching", "record"]


WIDTH = 100
_MEANS = (
    "Means of small, clear, straight-grained pieces; not design values. Where printings differ the lower is taken "
    "(the higher specific gravity)."
)
_STRESS = {"metric": "MPa", "inches": "psi"}
_STIFF = {"metric": "GPa", "inches": "Mpsi"}
_DENSITY = {"metric": "kg/m^3", "inches": "lb/ft^3"}
_FORCE = {"metric": "N", "inches": "lbf"}
_PERCENT = {"intersection moisture", "radial shrinkage", "tangential shrinkage", "volumetric shrinkage"}
_BONDS = {"satisfactorily": "satisf.", "with difficulty": "diffic."}
_LETTERS = {
    "bending": "m",
    "shear": "s",
    "bearing across the grain": "b",
    "tension across the grain, splitting": "t",
    "crushing along the grain": "c",
    "stiffness and movement": "e",
    "weight": "w",
    "moisture adjustment": "g",
    "swelling": "r",
}
_LEGEND = (
    "lacks: m modulus of rupture, s shear, b bearing across, t tension across the grain, c crushing, e stiffness, "
    "w weight, g a green value (moisture adjustment), r shrinkage. A check that needs what is lacking has no answer. "
    "bonds: satisf. = satisfactorily, diffic. = with difficulty; blank = not in the list."
)


def _checked(system: str) -> None:
    if system not in _STRESS:
        raise InputError("woods", [Fault("system", f"'{system}' is not known", "write metric or inches")])


def _figure(value: float, unit: str, to: str) -> str:
    """Return a figure in a unit for people: three digits, whole psi and newtons; a dash for what is not known."""
    if isnan(value):
        return "-"
    v = value / factor(to, unit)
    if v >= 100:
        return f"{v:.0f}"
    return f"{v:.3g}" if v < 1 else f"{v:.2f}" if v < 9.995 else f"{v:.1f}"


def _unit(prop: str, system: System) -> tuple[str, str]:
    """Return the inner unit of a property and the unit it is shown in."""
    if prop in ("modulus of elasticity", "stiffness"):
        return "Pa", _STIFF[system]
    if prop == "density":
        return "kg/m^3", _DENSITY[system]
    if prop == "side hardness":
        return "N", _FORCE[system]
    return "Pa", _STRESS[system]


def _shown(row: WoodRow, system: System) -> str:
    """Return the figure of a row with its unit."""
    if row.statistic == woods.COV or row.property in _PERCENT:
        return percent(row.value, digits=3)
    if row.property == "specific gravity":
        return f"{row.value:.2f}"
    if row.property == "shear ratio" or "/" in row.property:
        return f"{row.value:.3f}"
    unit, to = _unit(row.property, system)
    return f"{_figure(row.value, unit, to)} {to}"


def _plain(text: str) -> str:
    return text.casefold().replace("-", " ")


def _spoken(item: WoodCard) -> str:
    return _plain(" ".join((item.name, item.botanical, item.origin, *item.other_names)))


def _begins(text: str, word: str) -> bool:
    return re.search(rf"\b{re.escape(_plain(word).strip())}", text) is not None


def matching(*words: str, kind: str | None = None) -> tuple[str, ...]:
    """Return the names of the woods of which every word begins a word: of a name, the origin or the botanical name.

    Raises
    ------
    InputError
        if there is none, with words that are like them.
    """
    texts = {c.name: _spoken(c) for c in map(woods.find, woods.names()) if kind in (None, c.kind)}
    found = tuple(name for name, text in texts.items() if all(_begins(text, w) for w in words))
    if texts and not found:
        raise not_found("woods", words, list(texts.values()), _begins, kind or "wood")
    return found


def _line(item: WoodCard, system: System) -> list[str]:
    wood = woods.model_wood(item)
    stress, stiff = _STRESS[system], _STIFF[system]
    return [
        item.name,
        item.kind.removesuffix("wood"),
        "-" if isnan(float(wood.gravity)) else f"{float(wood.gravity):.2f}",
        _figure(float(wood.dry.bending), "Pa", stress),
        _figure(float(wood.dry.stiffness), "Pa", stiff),
        _figure(float(wood.dry.compression), "Pa", stress),
        _figure(float(wood.dry.bearing), "Pa", stress),
        _figure(float(wood.dry.shear), "Pa", stress),
        _BONDS.get(item.bonding, item.bonding),
        "".join(_LETTERS[lack.check] for lack in item.missing),
    ]


def listing(*words: str, kind: str | None = None, system: System = "metric") -> str:
    """Return a table of the woods whose names or origin hold words that begin so, at 12 % moisture, one line each.

    Raises
    ------
    InputError
        if the kind (softwood, hardwood) or the system is not known, or no wood has such a name.
    """
    _checked(system)
    if kind not in (None, "softwood", "hardwood"):
        raise InputError("woods", [Fault("kind", f"'{kind}' is not known", "write softwood or hardwood")])
    found = [woods.find(name) for name in matching(*words, kind=kind)]
    stress, stiff = _STRESS[system], _STIFF[system]
    heads = [
        ["wood", "kind", "grav.", "bending", "stiff", "crush", "bearing", "shear", "bonds", "lacks"],
        ["", "", "", stress, stiff, stress, stress, stress, "", ""],
    ]
    table = _table(heads, [_line(item, system) for item in found], ("left", "left", *["right"] * 6, "left", "left"))
    text = f"{len(found)} woods at 12 % moisture. {_MEANS} {_LEGEND}"
    return "\n".join([table, "", filled(text, WIDTH)])


def _table(heads: Sequence[Sequence[str]], rows: Sequence[Sequence[str]], align: Sequence[str]) -> str:
    """Return a table; its headings are rows, since headings proper are padded beyond the width there is."""
    widths = [max(map(len, column)) for column in zip(*heads, *rows, strict=True)]
    lines = [*heads, ["-" * w for w in widths], *rows]
    text = tabulate(lines, tablefmt="plain", disable_numparse=True, colalign=align)
    return "\n".join(line.rstrip() for line in text.splitlines())


def _get(wood: str | WoodCard) -> WoodCard:
    return woods.find(wood) if isinstance(wood, str) else wood


def _block(title: str, lines: Sequence[str]) -> list[str]:
    """Return a titled list, or nothing where there is nothing to say."""
    if not lines:
        return []
    return ["", title, *(filled(line, WIDTH, "- ") for line in lines)]


def _estimate(e: Estimate, system: System) -> str:
    unit, to = _unit(e.property, system)
    value, mean = _figure(e.value, unit, to), _figure(e.relation, unit, to)
    return (
        f"{e.wood}, {woods.PRINTED[e.property]}, {e.condition}: {value} {to} "
        f"(the relation gives {mean} at gravity {e.gravity:.2f}; {e.source})"
    )


def card(wood: str | WoodCard, system: System = "metric") -> str:
    """Return all that is known of one wood: every figure, its source, what was not taken, what is missing.

    Raises
    ------
    NotFoundError
        if no wood has that name.
    InputError
        if the system is not known.
    """
    _checked(system)
    item = _get(wood)
    sources = list(dict.fromkeys(r.source for r in item.rows))
    several = len({r.wood for r in item.rows if r.wood != "any wood"}) > 1
    rows = [
        [
            ("" if r.taken else "(") + r.property + (", scatter" if r.statistic == woods.COV else ""),
            r.condition if r.condition in woods.CONDITIONS else "-",
            _shown(r, system),
            f"{r.printed} {'' if r.unit == '1' else r.unit}".strip() + ("" if r.taken else ")"),
            f"[{sources.index(r.source) + 1}]" + (f" {r.wood.removeprefix(item.name).strip(' ()')}" if several else ""),
            r.how,
        ]
        for r in item.rows
    ]
    heads = [["figure", "moisture", "value", "as printed", "source", "how"]]
    table = _table(heads, rows, ("left", "left", "right", "right", "left", "left"))
    head = [item.name, f"{item.botanical or 'botanical name not told'}, {item.kind}; origin: {item.origin}"]
    if item.other_names:
        head.append(f"also called: {', '.join(item.other_names)}")
    notes: dict[str, dict[str, None]] = {}
    for r in item.rows:
        if r.note:
            at = f" at {r.condition}" if r.condition == "12 %" else f" {r.condition}" if r.condition == "green" else ""
            whose = f"{r.wood}, " if several and r.wood != "any wood" else ""
            notes.setdefault(r.note, {})[f"{whose}{r.property} {r.printed}{at}"] = None
    said = [f"{note}: {', '.join(which)}" for note, which in notes.items()]
    places = {s: sorted({r.place for r in item.rows if r.source == s and r.place}) for s in sources}
    bonds = f"{item.bonding} ({item.bonding_source})" if item.bonding else "not in the list; unknown"
    estimates = woods.with_estimates(item)[1]
    parts = [
        *(filled(line, WIDTH) for line in head),
        "",
        table,
        "",
        filled(f"In brackets: a figure that is kept but not taken. {_MEANS}", WIDTH),
        *_block("Ease of gluing", [bonds]),
        *_block("Missing, by the check that needs it", [f"{m.check}: {m.needs}" for m in item.missing]),
        *_block("What a relation would give on request, lowered by its scatter", [
            _estimate(e, system) for e in estimates
        ]),
        *_block("Assumed", item.assumptions),
        *_block("Cautions and notes", [*filter(None, [item.note]), *said]),
        *_block("Sources", [
            f"[{n}] {s}" + (f": {'; '.join(places[s])}" if places[s] else "") for n, s in enumerate(sources, 1)
        ]),
    ]  # fmt: skip
    return "\n".join(parts)


def _bare(value: Array | float) -> float | None:
    """Return a number for JSON: nothing where it is not known."""
    v = float(value)
    return None if isnan(v) else v


def _values(values: Values) -> dict[str, float | None]:
    return {p: _bare(getattr(values, p)) for p in PROPERTIES}


def _model(wood: Wood) -> dict[str, Any]:
    return {
        f.name: _values(v) if isinstance(v := getattr(wood, f.name), Values) else v if f.name == "name" else _bare(v)
        for f in fields(wood)
    }


def record(wood: str | WoodCard) -> dict[str, Any]:
    """Return all that is known of one wood as plain data for JSON, in SI; null for what is not known.

    Raises
    ------
    NotFoundError
        if no wood has that name.
    """
    item = _get(wood)
    return {
        "name": item.name,
        "botanical": item.botanical,
        "kind": item.kind,
        "origin": item.origin,
        "other_names": list(item.other_names),
        "members": [m.name for m in item.members],
        "bonding": item.bonding or None,
        "bonding_source": item.bonding_source or None,
        "rows": [asdict(r) for r in item.rows],
        "missing": [asdict(m) for m in item.missing],
        "assumptions": list(item.assumptions),
        "note": item.note,
        "model": _model(woods.model_wood(item)),
        "estimates": [asdict(e) for e in woods.with_estimates(item)[1]],
    }
