"""What every answer rests on, besides its formulas: numbers of the method, what is taken, loads, comparisons.

Read from where each of them stands, so that this can't drift from what is computed.
"""

from __future__ import annotations

import ast
import inspect
import re
import sys
from collections.abc import Mapping
from functools import cache
from itertools import pairwise
from typing import Any

import numpy as np

from shaftcheck import engine
from shaftcheck.beam import Beam, mesh
from shaftcheck.border.assemble import assemble
from shaftcheck.border.keys import LISTS, TABLES
from shaftcheck.border.shaftfile import read
from shaftcheck.checks import JOINTS
from shaftcheck.frozen import frozen
from shaftcheck.key import Key
from shaftcheck.loads import loaded
from shaftcheck.model import number
from shaftcheck.trace import CONSTANTS, Constant

__all__ = [
    "Comparison",
    "LoadCase",
    "Taken",
    "Written",
    "comparisons",
    "constants",
    "documented",
    "load_cases",
    "taken",
    "written",
]


@frozen
class Written:
    """A number, or several by name, that stands in a module with words under it."""

    module: str
    name: str
    value: Any
    """a number, or several in a row or by name"""
    words: str
    stands: bool
    """whether its words say what it rests on; else it is a step, a tolerance or an end of the computing"""


@frozen
class Taken:
    """What is taken where a shaft file tells nothing."""

    key: str
    words: str


@frozen
class LoadCase:
    """A load that every shaft must hold, or every one that its duty asks it of."""

    key: str
    title: str
    source: str


@frozen
class Comparison:
    """What is there against what may be there."""

    check: str
    fails: str
    """what happens where it fails"""
    source: str


def constants() -> tuple[Constant, ...]:
    """Return the numbers of the method that have a symbol, each once; `show.symbols.everything` has loaded them all."""
    out: dict[tuple[str, str, float], Constant] = {}
    for c in CONSTANTS.values():
        if np.ndim(c.value) == 0:
            out.setdefault((c.sym.name, c.sym.meaning, float(c.value)), c)
    return tuple(out.values())


_STANDING = re.compile(
    r"\((?:19|20)\d\d\)|from memory|by definition|derived|judgement|common practice|secondary|seen"
    r"|Wood Handbook|Table \d"
)
_SHOWN = ("shaftcheck.show", "shaftcheck.commands")


def written() -> tuple[Written, ...]:
    """Return the numbers that stand in modules, as constants with words under them."""
    out = []
    for name, module in sorted(sys.modules.items()):
        if not name.startswith("shaftcheck.") or name.startswith(_SHOWN) or not getattr(module, "__file__", None):
            continue
        for targets, words in documented(inspect.getsource(module)):
            values = tuple(getattr(module, target, None) for target in targets)
            value = _numbers(values if len(values) > 1 else values[0])
            if value is not None and not any(id(v) in CONSTANTS for v in values):
                stands = _STANDING.search(words) is not None
                out.append(Written(module=name, name=", ".join(targets), value=value, words=words, stands=stands))
    return tuple(out)


@cache
def documented(source: str) -> tuple[tuple[tuple[str, ...], str], ...]:
    """Return every name of a module that has words under it, or the names that are given at once."""
    out = []
    body = ast.parse(source).body
    for node, after in pairwise(body):
        target = node.targets[0] if isinstance(node, ast.Assign) else getattr(node, "target", None)
        if isinstance(after, ast.Expr) and isinstance(after.value, ast.Constant):
            each = target.elts if isinstance(target, ast.Tuple) else [target]
            if names := tuple(one.id for one in each if isinstance(one, ast.Name)):
                out.append((names, " ".join(str(after.value.value).split())))
    return tuple(out)


def _numbers(value: Any) -> Any:
    """Return a number, or several in a row or by name, as plain data; None for anything else."""
    if isinstance(value, bool) or value is None:
        return None
    if isinstance(value, int | float | np.number) or (isinstance(value, np.ndarray) and value.ndim == 0):
        return float(value)
    if isinstance(value, Mapping):
        named = {str(k): _numbers(v) for k, v in value.items()}
        return None if not named or None in named.values() else named
    if isinstance(value, tuple):
        row = [_numbers(v) for v in value]
        return None if not row or None in row else row
    return None


def taken() -> tuple[Taken, ...]:
    """Return what is taken where a shaft file tells nothing, key by key."""
    tables: dict[str, Mapping[str, Key]] = {**TABLES, **LISTS, **{kind: JOINTS[kind].keys for kind in JOINTS}}
    out = []
    for table, keys in tables.items():
        for name, key in keys.items():
            if key.why:
                gaps = dict.fromkeys(re.findall(r"{(\w+)}", key.why), key.assume or "what follows from the rest")
                out.append(Taken(key=f"{table}.{name}", words=key.why.format(**gaps)))
    return tuple(out)


# fmt: off
_OAR: dict[str, Any] = {
    "oar": {"length": "2.50 m", "inside": "solid", "blade_length": "540 mm", "blade_width": "150 mm"},
    "rig": {"kind": "lock", "hand": "70 mm", "lock": "700 mm"},
    "rower": {"strength": "general", "hands": "one"},
    "duty": {"boat_speed": "1.5 m/s", "levering": "braced"},
    "section": [{"at": "0 mm", "across": "50 mm"}, {"at": "1.96 m", "across": "44 mm"}],
    "wood": [{"of": "Sitka spruce (US)", "to": "1.1 m", "runout": "1:20"}, {"of": "White ash", "runout": "1:20"}],
    "joint": [
        {"kind": "scarf", "middle": "1.1 m", "slope": "1:12", "cut_through": "up and down", "outer_tip_on": "lower",
         "glue": "epoxy"},
        {"kind": "takedown", "at": "1.65 m", "form": "sleeve over both", "overlap": "120 mm", "wall": "1.6 mm",
         "tube": "aluminium 6061-T6", "mouth": "tapered", "held_by": "pin", "pin_diameter": "6 mm",
         "pin_through": "up and down"},
    ],
}
_HALVES: dict[str, Any] = {
    **{k: v for k, v in _OAR.items() if k != "joint"},
    "wood": [{"of": "White ash", "runout": "1:20"}],
    "rig": {
        "kind": "hinged", "hand": "70 mm", "inner_ends": "700 mm", "kerf": "3 mm", "inner_pin": "640 mm",
        "inner_cradle": "120 mm", "outer_pin": "770 mm", "outer_cradle": "130 mm", "cradle_seat": "wraps",
        "link_on": "cradle", "pin_spacing": "130 mm", "link_ratio": 0.9, "bolts": "through", "bolt_diameter": "6 mm",
        "bolts_run": "up and down", "inner_bolt_from_end": "60 mm", "outer_bolt_from_end": "60 mm",
        "clamp_force": "2000 N",
    },
}
_CHANGES = ({"at": "1.60 m", "across": "50 mm", "inside": "solid"},
            {"at": "1.61 m", "across": "46 mm", "wall": "9 mm"})
_WORN: dict[str, Any] = {
    **{k: v for k, v in _OAR.items() if k != "joint"},
    "oar": {**_OAR["oar"], "inside": "hollow"},
    "section": [{"at": "0 mm", "across": "50 mm", "wall": "9 mm"}, *_CHANGES,
                {"at": "1.96 m", "across": "44 mm", "wall": "9 mm"}],
    "wood": _HALVES["wood"],
    "joint": [{"kind": "repair", "from": "1.2 m", "to": "1.4 m"}],
    "flaw": [
        {"kind": "crease", "from": "1.0 m", "to": "1.01 m", "face": "aft"},
        {"kind": "knot", "from": "0.5 m", "to": "0.51 m", "face": "aft", "width": "5 mm"},
        {"kind": "dent", "from": "0.9 m", "to": "0.92 m", "face": "upper", "width": "9 mm", "depth": "2 mm"},
        {"kind": "tack holes", "from": "0.8 m", "to": "0.81 m", "face": "upper", "width": "2 mm", "depth": "3 mm"},
        {"kind": "leather", "from": "0.6 m", "to": "0.8 m", "face": "all round"},
        {"kind": "ferrule", "from": "0.3 m", "to": "0.32 m", "face": "all round"},
    ],
}
_IN_CRADLES = (("600 mm", "620 mm"), ("800 mm", "820 mm"))
_PLUGGED: dict[str, Any] = {
    **_HALVES,
    "oar": _WORN["oar"],
    "section": [{"at": "0 mm", "across": "56 mm", "wall": "14 mm"}, *_CHANGES,
                {"at": "1.96 m", "across": "50 mm", "wall": "14 mm"}],
    "rig": {
        **{k: v for k, v in _HALVES["rig"].items() if "bolt" not in k}, "bolts": "beside",
        "inner_plug": "280 mm", "outer_plug": "320 mm", "plug_ends": "tapered",
    },
    "joint": [{"kind": "repair", "from": "1.2 m", "to": "1.4 m"}],
    "flaw": [*_WORN["flaw"], *({**f, "from": at[0], "to": at[1]} for f in _WORN["flaw"][1:4] for at in _IN_CRADLES)],
}
_NO_TIMBER: dict[str, Any] = {**_WORN, "oar": {**_WORN["oar"], "material": "laminate tube"}, "flaw": []}
# fmt: on
"""oars in a lock and cut for a hinged rig, invented: with them every load and every comparison is named"""


@cache
def _beams() -> tuple[Beam, ...]:
    out = []
    for doc in (_OAR, _HALVES, _WORN, _PLUGGED, _NO_TIMBER):
        reading = read(doc, "invented")
        built = assemble(reading, {path: e.value for path, e in reading.entries.items() if e.value is not None})
        out.append(loaded(built.shaft, number(built.own)))
    return tuple(out)


def load_cases() -> tuple[LoadCase, ...]:
    """Return the load cases, in their order."""
    out = {c.key: LoadCase(key=c.key, title=c.title, source=c.source) for beam in _beams() for c in beam.cases}
    return tuple(out.values())


@cache
def comparisons() -> tuple[Comparison, ...]:
    """Return the comparisons of oars that between them have every joint, flaw and rig."""
    out: dict[str, Comparison] = {}
    for beam in _beams():
        for u in engine.uses(beam, mesh(beam.shaft, 3)):
            out.setdefault(u.check, Comparison(check=u.check, fails=u.kind, source=u.source))
    return tuple(out.values())
