"""The shaft file, first step: from text to an entry for every key, with every fault of the file found at once.

An entry holds the value, or what it may be where it is unknown. The second step, from entries to a shaft, is
`shaftcheck.border.assemble`.
"""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import replace
from numbers import Real
from typing import Any

import numpy as np

from shaftcheck.border import sizes
from shaftcheck.border.hints import example, needed, told_in
from shaftcheck.border.keys import JOINT_KIND, LISTS, RIGS, TABLES, TEXTS
from shaftcheck.border.shown import System, both
from shaftcheck.border.units import is_quantity
from shaftcheck.border.wood_cards import WoodCard
from shaftcheck.border.wood_rows import nearest
from shaftcheck.border.woods import find, user_wood
from shaftcheck.checks import JOINTS
from shaftcheck.errors import Fault, InputError, NotFoundError, one_line
from shaftcheck.frozen import frozen
from shaftcheck.key import DIMENSION_OF, Key, Value
from shaftcheck.said import Side

__all__ = ["Entry", "Reading", "Value", "changed", "entries", "own_woods", "parse", "read", "unread"]

_NOT_READ, _NO_KEY, _NEEDED = "not a key here", "not a key of a shaft file", "needed ("
GRID = 9
"""values tried of an unknown size, ends in"""

_UNITS = {
    "length": "m",
    "area": "m^2",
    "mass": "kg",
    "force": "N",
    "speed": "m/s",
    "ratio": "",
    "moisture": "",
}


@frozen(eq=True)
class Entry:
    """One input as it was understood."""

    path: str
    """table.key, or list.number.key"""
    key: Key
    text: str
    """as written, or as assumed"""
    how: str
    """told, measured, from the table, assumed or unknown"""
    value: Value | None
    """SI; None where it is unknown"""
    options: tuple[Value, ...] = ()
    """what an unknown one is tried at"""


@frozen(eq=True)
class Reading:
    """A whole file as it was understood."""

    name: str
    title: str
    note: str
    system: System
    entries: dict[str, Entry]
    counts: dict[str, int]
    """how many sections, woods and joints"""
    woods: dict[str, WoodCard]
    """by the name in the file"""
    faults: tuple[Fault, ...]
    """what can't be read of it"""
    bad: frozenset[str]
    """paths of inputs with a fault, and of tables that hold a key that is not read"""
    told: System = "metric"
    """units that its sizes are told in: in these a fault says what to write"""


def parse(text: str, name: str) -> dict[str, Any]:
    """Return the tables of a shaft file.

    Raises
    ------
    InputError
        if it is not TOML.
    """
    plain = text.removeprefix("\ufeff")
    try:
        return tomllib.loads(plain)
    except RecursionError:
        raise InputError(name, [Fault("file", "nested too deep", "write plain tables and keys")]) from None
    except ValueError as e:
        raise InputError(name, [_not_toml(str(e), plain)]) from None


def _not_toml(error: str, text: str) -> Fault:
    """Return the fault of a text that is not TOML."""
    at = re.search(r"\(at line (\d+),", error)
    line = text.split("\n")[int(at[1]) - 1].partition("#")[0].strip() if at else ""
    again = f"told twice, again in line {at[1]}" if at else "told twice"
    if error.startswith("Cannot declare"):
        write = f"keep one {line}" + (f", or write [{line}] above each one" if line.strip("[]") in LISTS else "")
        return Fault(line, again, write)
    if error.startswith(("Cannot overwrite", "Duplicate")):
        return Fault(line.partition("=")[0].strip() or "file", again, "keep one of the two")
    hint = 'write key = "value" with the value in double quotes; an inch mark inside needs single quotes around it'
    if re.search("[“”„‟«»]", line):
        hint = 'write straight quotes: "'
    return Fault("file", f"not TOML: {error[0].lower()}{error[1:]}", hint)


def changed(doc: Mapping[str, Any]) -> dict[str, Any] | None:
    """Return the oar as it will be: the tables under `change` laid over the others; None where there are none.

    A key replaces a key; a list (sections, woods, joints) replaces the whole list. A change of the kind of rig
    replaces the whole rig but for the hand.
    """
    change = doc.get("change")
    if change is None:
        return None
    if not isinstance(change, Mapping):
        raise InputError("change", [Fault("change", "not a table", "write [change] or [change.rig], keys below it")])
    if "change" in change:
        raise InputError("change", [Fault("change.change", "a change within a change", "write one [change]")])
    out = {k: v for k, v in doc.items() if k not in ("change", "measured")}
    for key, value in change.items():
        old = out.get(key)
        if isinstance(value, Mapping) and isinstance(old, Mapping):
            if key == "rig" and value.get("kind", old.get("kind")) != old.get("kind"):
                old = {k: v for k, v in old.items() if k == "hand"}
            out[key] = {**old, **value}
        else:
            out[key] = value
    return out


def _near(word: str, known: Iterable[str], where: str = "") -> str:
    from difflib import get_close_matches

    names = list(known)
    if where == "rig" and any(word in keys for keys in RIGS.values()):
        return f'leave it out, or write kind = "{next(kind for kind, keys in RIGS.items() if word in keys)}"'
    if near := get_close_matches(word, names, 2, 0.6):
        return f"write {' or '.join(near)}"
    homes = [f"[{t}]" for t, keys in TABLES.items() if word in keys]
    homes += [f"[[{t}]]" for t, keys in LISTS.items() if word in keys]
    if homes:
        return f"write it under {' or '.join(homes)}"
    return f"the keys here are {', '.join(names)}"


def _once(faults: list[Fault], torn: Iterable[str]) -> list[Fault]:
    """Return the faults without those that another one brings with it.

    Of keys that are lacking because they are misspelt, or stand elsewhere; of own woods that have a fault themselves.
    """
    meant = {m for f in faults if f.wrong in (_NOT_READ, _NO_KEY) for m in _meant(f)}
    lost = {f"no wood named '{name}'" for name in torn}
    return [
        f
        for f in faults
        if f.wrong not in lost and not (f.wrong.startswith(_NEEDED) and {f.key, f.key.partition(".")[0]} & meant)
    ]


def _torn(doc: Mapping[str, Any], own: Mapping[str, WoodCard]) -> list[str]:
    """Return the names of own woods that can't be read."""
    given = doc.get("own_wood")
    return [str(name) for name in given if name not in own] if isinstance(given, Mapping) else []


def _meant(f: Fault) -> list[str]:
    """Return the paths that may have been meant by one that is not read: the nearest, or that word's own home."""
    table, _, name = f.key.rpartition(".")
    if f.write.startswith("write it under "):
        return [f"{home}.{name}" for home in re.findall(r"\[(\w+)\]", f.write)]
    near = re.match("write ([^ ]+)", f.write)
    return [f"{table}.{near[1]}" if table else near[1]] if near else []


def unread(doc: Mapping[str, Any]) -> list[Fault]:
    """Return the faults of keys and tables that no shaft file has."""
    top = (*TEXTS, *TABLES, *LISTS, "own_wood", "change", "plank")
    return [Fault(str(k), _NO_KEY, _near(str(k), top)) for k in doc if k not in top]


def read(doc: Mapping[str, Any], name: str) -> Reading:
    """Return every input as it was understood, with every fault of what is not: to build it raises them."""
    faults: list[Fault] = []
    entries: dict[str, Entry] = {}
    faults += unread(doc)
    system = doc.get("answer_in", "metric")
    if system not in ("metric", "inches"):
        faults.append(Fault("answer_in", f"'{system}' is not a way to answer", "write metric or inches"))
    faults += [
        Fault(text, "not a text", 'write it in double quotes, as "my oar"')
        for text in ("title", "note")
        if not isinstance(doc.get(text, ""), str)
    ]
    own, own_faults = own_woods(doc.get("own_wood", {}))
    faults += own_faults
    rig = doc.get("rig", {})
    kind = str(rig.get("kind")) if isinstance(rig, Mapping) else None  # a list can be no key
    told = told_in(doc)
    for table, keys in TABLES.items():
        given = doc.get(table, {})
        if not isinstance(given, Mapping):
            faults.append(Fault(table, "not a table", f"write [{table}] on a line of its own, its keys below"))
            continue
        if table == "rig":
            if kind not in RIGS:  # which other keys there are hangs on the kind
                given = {k: v for k, v in given.items() if k == "kind"}
            keys = RIGS.get(str(kind), {"kind": keys["kind"]})
        faults += _table(table, given, keys, own, told, entries)
    counts: dict[str, int] = {}
    for table, keys in LISTS.items():
        rows = doc.get(table, [])
        if not isinstance(rows, list) or any(not isinstance(r, Mapping) for r in rows):
            faults.append(Fault(table, "not a list of tables", f"write [[{table}]] above each one"))
            rows = []
        counts[table] = len(rows)
        for i, row in enumerate(rows, 1):
            mine = keys
            if table == "joint" and str(row.get("kind")) in JOINTS:
                mine = {"kind": JOINT_KIND, **JOINTS[row["kind"]].keys}
            elif table == "joint":  # which other keys there are hangs on the kind
                row = {k: v for k, v in row.items() if k == "kind"}
            faults += _table(f"{table}.{i}", row, mine, own, told, entries)
    torn = {f.key for f in faults}
    if counts["section"] < 2 and "section" not in torn:
        faults.append(Fault("section", f"{counts['section']} given", "give at least two [[section]] tables"))
    if counts["wood"] < 1 and "wood" not in torn:
        faults.append(Fault("wood", "none given", 'give [[wood]] with of = "Sitka spruce (US)", or your wood'))
    woods: dict[str, WoodCard] = {}
    for entry in entries.values():
        if entry.key.kind == "wood":
            for option in entry.options or (entry.value,):
                if option is not None:
                    woods[str(option)] = own.get(str(option)) or find(str(option))
    _cap_area(entries)
    tables = {f.key.rpartition(".")[0] for f in faults if f.wrong == _NOT_READ}
    return Reading(
        name=name,
        title=one_line(str(doc.get("title", "")), 200),
        note=one_line(str(doc.get("note", "")), 400),
        system="inches" if system == "inches" else "metric",
        entries=entries,
        counts=counts,
        woods=woods,
        faults=tuple(_once(faults, _torn(doc, own))),
        bad=frozenset({f.key for f in faults} | tables),
        told=told,
    )


def _cap_area(entries: dict[str, Entry]) -> None:
    """Hold what an unknown blade area is tried at to the blade's rectangle: it can't be more."""
    area, *sides = (entries.get(f"oar.blade_{k}") for k in ("area", "length", "width"))
    told = [s.value for s in sides if s is not None and s.value is not None]
    if area is not None and area.options and len(told) == 2:
        rectangle = float(told[0]) * float(told[1])
        low = min(float(area.options[0]), rectangle)
        high = min(float(area.options[-1]), rectangle)
        options = tuple(float(v) for v in np.linspace(low, high, GRID)) if high > low else (low,)
        entries["oar.blade_area"] = replace(area, options=options)


def own_woods(given: Any) -> tuple[dict[str, WoodCard], list[Fault]]:
    """Return the woods of `[own_wood]` by name, and the faults of those that can't be read."""
    out: dict[str, WoodCard] = {}
    faults: list[Fault] = []
    if not isinstance(given, Mapping):
        return out, [Fault("own_wood", "not a table", 'write [own_wood."name of the wood"]')]
    for name, table in given.items():
        if not isinstance(table, Mapping):
            faults.append(Fault(f"own_wood.{name}", "not a table", 'write [own_wood."name of the wood"]'))
            continue
        try:
            out[name] = user_wood(table, name)
        except InputError as e:
            faults += [Fault(f"own_wood.{name}.{f.key}", f.wrong, f.write) for f in e.faults]
    return out, faults


def _table(
    where: str,
    given: Mapping[str, Any],
    keys: Mapping[str, Key],
    own: Mapping[str, WoodCard],
    told: System,
    out: dict[str, Entry],
) -> list[Fault]:
    """Read one table's keys into `out`; return its faults."""
    faults = [Fault(f"{where}.{k}", _NOT_READ, _near(str(k), keys, where)) for k in given if k not in keys]
    for name, key in keys.items():
        path = f"{where}.{name}"
        if name in given:
            try:
                out[path] = _entry(path, replace(key, example=example(key.example, told)), given[name], own)
            except sizes.SizeError as e:
                faults.append(Fault(path, e.wrong, e.write))
            except NotFoundError as e:
                faults.append(Fault(path, e.wrong, e.write))
        elif key.assume is not None:
            out[path] = Entry(path=path, key=key, text=key.assume, how="assumed", value=_value(key, key.assume, own))
        elif not key.optional:
            faults.append(Fault(path, f"{_NEEDED}{key.help}) and not given", needed(name, key, told)))
    return faults


def entries(
    where: str, given: Mapping[str, Any], keys: Mapping[str, Key], own: Mapping[str, WoodCard] | None = None
) -> dict[str, Entry]:
    """Return each input of one table that is no part of a shaft file, by `where.key`.

    Parameters
    ----------
    own : woods of the user's own, by name

    Raises
    ------
    InputError
        with every fault of the table at once.
    """
    out: dict[str, Entry] = {}
    faults = _table(where, given, keys, own or {}, told_in(given), out)
    unknown = {f"{where}.{k}" for k, v in given.items() if k in keys and _unknown(keys[k], v)}
    faults = [f for f in faults if f.key not in unknown]
    for path in sorted(unknown):
        key = keys[path.rpartition(".")[2]]
        found = "find out which it is" if key.kind in ("choice", "wood") else f"measure it, as {key.example},"
        faults.append(Fault(path, "can't be unknown here", f"{found} and write that"))
    if faults:
        raise InputError(where, faults)
    return out


def _unknown(key: Key, given: object) -> bool:
    return key.kind != "text" and isinstance(given, str) and given.strip().lower().startswith("unknown")


def _entry(path: str, key: Key, given: Any, own: Mapping[str, WoodCard]) -> Entry:
    """Return one key's entry; raises SizeError or NotFoundError."""
    if is_quantity(given):
        if key.kind not in _UNITS:
            raise sizes.SizeError(f"'{given}' is a quantity", needed(path.rpartition(".")[2], key, "metric"))
        return Entry(path=path, key=key, text=f"{given}", how="told", value=_value(key, given, own))
    if isinstance(given, Real) and not isinstance(given, bool):
        if key.kind in ("count", "ratio"):
            given = str(given)
        elif key.kind in _UNITS:
            _value(key, given, own)  # says what it may be
    if not isinstance(given, str):
        is_ = str(given).lower() if isinstance(given, bool) else f"{given}"
        raise sizes.SizeError(f"'{is_}' is not a text", needed(path.rpartition(".")[2], key, "metric"))
    if key.kind == "wood":
        return _wood_entry(path, key, given, own)
    if key.kind == "text":  # brackets, and unknown, are the name's own
        return Entry(path=path, key=key, text=given, how="told", value=given)
    told = sizes.known(given, example=key.example, choices=key.choices)
    if told.kind != "unknown":
        return Entry(path=path, key=key, text=told.text, how=told.kind, value=_value(key, told.text, own))
    if key.only_told:
        return Entry(path=path, key=key, text=given, how="unknown", value=None)
    if key.kind == "choice":
        ways = told.choices or key.ways
        if len(ways) < 2:
            raise sizes.SizeError("can't be unknown", f"write one of {', '.join(key.choices)}")
        options: tuple[Value, ...] = tuple(_value(key, way, own) for way in ways)
    else:
        ends = (told.low_text, told.high_text) if told.low_text else key.span
        if ends is None:
            raise sizes.SizeError(
                "unknown, and no range is known for it",
                f'write the range it may lie in, as "unknown ({key.example} to ...)"'
                + (", or leave it out" if key.optional else ""),
            )
        low, high = sorted(float(_value(key, end, own)) for end in ends)
        if low == high:
            raise sizes.SizeError("the range has no width", "write the value itself, or a wider range")
        options = tuple(float(v) for v in np.linspace(low, high, GRID))
    return Entry(path=path, key=key, text=given, how="unknown", value=None, options=options)


def _wood_entry(path: str, key: Key, given: str, own: Mapping[str, WoodCard]) -> Entry:
    text = given.strip()
    if not text.lower().startswith("unknown"):
        return Entry(path=path, key=key, text=text, how="told", value=_value(key, text, own))
    inside = text[len("unknown") :].strip()
    ways = [w.strip() for w in inside[1:-1].split(", ")] if inside.startswith("(") and inside.endswith(")") else []
    if len(ways) < 2:
        raise sizes.SizeError(
            "an unknown wood must name what it may be", "write unknown (Sitka spruce (US), White spruce)"
        )
    return Entry(
        path=path, key=key, text=text, how="unknown", value=None, options=tuple(_value(key, w, own) for w in ways)
    )


def _value(key: Key, text: Any, own: Mapping[str, WoodCard]) -> Value:
    """Return one value in SI; raises SizeError or NotFoundError."""
    if key.kind == "text":
        return str(text)
    if key.kind == "choice":
        if text not in key.choices:
            near = nearest(str(text).lower(), key.choices, 1, 0.7)
            # an example would be taken for an answer, perhaps for one that helps
            write = f"write {near[0]}" if near else "find out which it is and write that"
            if len(key.choices) == 1:
                write = f"write {key.choices[0]} where it is so, or leave it out"
            raise sizes.SizeError(f"'{text}' is not one of {', '.join(key.choices)}", write)
        return str(text)
    if key.kind == "wood":
        return _wood_named(str(text), own)
    if key.kind == "slope":
        value = sizes.read_slope(str(text))
    elif key.kind in ("count", "ratio"):
        value = _plain_number(key, str(text))
    else:
        value = sizes.read(text, _UNITS[key.kind], bounds=(key.low, key.high), example=key.example)
    if not key.low <= value <= key.high:
        raise sizes.SizeError(f"'{text}' can't be: {_bounds(key)}", f"write a size such as {key.example}")
    return value


def _wood_named(text: str, own: Mapping[str, WoodCard]) -> str:
    """Return the name of a wood of the user's own, or of the tables; raises NotFoundError, which names both."""
    if text in own:
        return text
    try:
        return find(text).name
    except NotFoundError as e:
        mine = {name.casefold(): name for name in own}
        near = [mine[n] for n in nearest(text.casefold(), mine, 2, 0.6)]
        raise NotFoundError(e.what, e.name, [*near, *e.near], e.lists) from None


def _plain_number(key: Key, text: str) -> float:
    try:
        value = float(text.replace(" ", "_") if key.kind == "count" else text)
    except ValueError:
        if re.fullmatch(r"\d{1,3}([,.' ])\d{3}(\1\d{3})*", text):
            joined = re.sub(r"\D", "", text)
            raise sizes.SizeError(f"'{text}' has a mark between thousands", f"write {joined}") from None
        if key.high <= 1.0 and (part := re.fullmatch(r"(\d+(?:\.\d+)?) ?%", text)):
            raise sizes.SizeError(f"'{text}' is not a plain number", f"write {float(part[1]) / 100.0:g}") from None
        raise sizes.SizeError(f"'{text}' is not a plain number", f"write a number such as {key.example}") from None
    if not math.isfinite(value):
        raise sizes.SizeError(f"'{text}' is not a number", f"write a number such as {key.example}")
    if key.kind == "count" and value != round(value):
        raise sizes.SizeError(f"'{text}' is not a whole number", f"write a number such as {key.example}")
    return value


def _bounds(key: Key) -> str:
    def words(value: float, side: Side) -> str:
        dimension = DIMENSION_OF.get(key.kind)
        if key.kind == "count":
            return f"{value:.0f}"
        return f"{value:g}" if dimension is None else both(value, dimension, side=side)

    if math.isinf(key.high):
        return f"it must be at least {words(key.low, 'up')}"
    return f"it must lie between {words(key.low, 'up')} and {words(key.high, 'down')}"
