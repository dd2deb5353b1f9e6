"""What goes into a shaft, by name: the symbol, unit and words of every number of the model, and where it came from.

Only a listener asks. The numbers of a joint are read from the words that its kind gives them, so that a new kind needs
nothing here.
"""

from __future__ import annotations

import ast
import inspect
import re
import sys
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from functools import cache
from typing import Any, TypeVar

import numpy as np

from shaftcheck.border.wood_cards import WoodCard
from shaftcheck.border.wood_rows import PRINTED
from shaftcheck.model import Array, Property, Shaft, Wood
from shaftcheck.trace import Sym, given

__all__ = ["NAMES", "lifted"]

_FILE = "the shaft file, or what is assumed where it tells nothing"
_CLASS = "the shaft file, or the class of rower (judgement on published figures)"

NAMES: dict[str, tuple[str, str, str, str]] = {
    "Shaft.length": ("L_o", "m", "length of the oar", _FILE),
    "Station.x": ("x_{n}", "m", "from the handle end to section {n}", _FILE),
    "Station.depth": ("d_{n}", "m", "fore-and-aft size at section {n}", _FILE),
    "Station.width": ("w_{n}", "m", "up-and-down size at section {n}", _FILE),
    "Station.exponent": ("n_{n}", "", "exponent of the curve of section {n}", _FILE),
    "Station.wall": ("t_{n}", "m", "wall at section {n}", _FILE),
    "Piece.start": ("x_s{n}", "m", "where piece {n} begins", _FILE),
    "Piece.end": ("x_e{n}", "m", "where piece {n} ends", _FILE),
    "Piece.slope": ("s_{n}", "", "run-out of the grain of piece {n}", _FILE),
    "Piece.moisture": ("M_{n}", "", "moisture in use of piece {n}", _FILE),
    "Wood.hardwood": ("h", "", "1 for a hardwood, 0 for a softwood", "the wood's row"),
    "Wood.green_at": ("M_p", "", "moisture at which drying begins to tell", "the wood's row"),
    "Wood.gravity": ("G", "", "specific gravity at 12 %", "the wood's row"),
    "Wood.least_gravity": ("G_l", "", "specific gravity at 12 %, the lower printing", "the wood's row"),
    "Wood.shear_ratio": ("g", "", "shear modulus over modulus of elasticity", "the wood's row"),
    "Blade.neck": ("x_n", "m", "from the handle end to the blade's neck", _FILE),
    "Blade.tip": ("x_t", "m", "from the handle end to the tip", _FILE),
    "Blade.area": ("A_b", "m**2", "area of one face of the blade", _FILE),
    "Blade.width": ("b_b", "m", "width of the blade", _FILE),
    "Blade.off_axis": ("e_b", "m", "how far the water's force may stand off the shaft's axis", _FILE),
    "Blade.mass": ("m_b", "kg", "mass beyond the neck", _FILE),
    "OnePiece.hand": ("x_h", "m", "from the handle end to the grip's centre", _FILE),
    "OnePiece.lock": ("x_l", "m", "from the handle end to the lock", _FILE),
    "OnePiece.contact": ("l_c", "m", "length over which the lock spreads its force in bending", _FILE),
    "OnePiece.seat": ("l_s", "m", "length of shaft that the lock presses", _FILE),
    "OnePiece.wet": ("u_w", "", "1 where the seat stays wet", _FILE),
    "Hinged.hand": ("x_h", "m", "from the handle end to the grip's centre", _FILE),
    "Hinged.saw": ("x_c", "m", "from the handle end to the saw cut", _FILE),
    "Hinged.restart": ("x_r", "m", "from the handle end to where the outer half begins", _FILE),
    "Hinged.inner_pin": ("x_pi", "m", "the inner pin, measured along the inner half", _FILE),
    "Hinged.inner_from": ("x_i1", "m", "where the inner cradle begins to clamp", _FILE),
    "Hinged.inner_to": ("x_i2", "m", "where the inner cradle ceases to clamp", _FILE),
    "Hinged.outer_pin": ("x_po", "m", "the outer pin, measured along the outer half", _FILE),
    "Hinged.outer_from": ("x_o1", "m", "where the outer cradle begins to clamp", _FILE),
    "Hinged.outer_to": ("x_o2", "m", "where the outer cradle ceases to clamp", _FILE),
    "Hinged.ratio": ("r_h", "", "swing of the blade half over swing of the hand half", _FILE),
    "Hinged.spacing": ("s_p", "m", "from pin to pin", _FILE),
    "Hinged.wet": ("u_w", "", "1 where wood in a cradle stays wet", _FILE),
    "Hinged.clamp": ("Q", "N", "force with which each cradle squeezes", _FILE),
    "Hinged.wraps": ("u_s", "", "1 where each seat wraps a quarter of the shaft", _FILE),
    "Hinged.liner": ("t_l", "m", "thickness of what lines the cradles", _FILE),
    "Hinged.liner_stiffness": ("E_l", "Pa", "modulus of what lines the cradles", _FILE),
    "Hinged.bolted_through": ("u_b", "", "1 where a bolt goes through the shaft", _FILE),
    "Hinged.link_on_shaft": ("u_k", "", "1 where the link is fixed to the shaft", _FILE),
    "Hinged.link_arm": ("a_k", "m", "from the inner pin square to the link's force", _FILE),
    "Rower.steady": ("P_s", "N", "pull at the hand, steady rowing", _CLASS),
    "Rower.hard": ("P_h", "N", "pull at the hand, hard rowing", _CLASS),
    "Rower.start": ("P_st", "N", "pull at the hand, start or sprint", _CLASS),
    "Rower.once": ("P_1", "N", "greatest single pull at the hand", _CLASS),
    "Rower.back": ("P_b", "N", "push at the hand, backing", _CLASS),
    "Rower.push": ("P_p", "N", "push along the shaft", _CLASS),
    "Rower.lever": ("P_l", "N", "sideways force of the hand, the oar as a lever", _CLASS),
    "Duty.speed": ("v", "m/s", "speed of the boat when a blade is caught", _FILE),
    "Duty.mass": ("m_c", "kg", "boat and crew", _FILE),
    "Duty.handle_free": ("u_f", "", "1 where a caught handle can leave the hands", _FILE),
    "Duty.strokes": ("n_l", "", "strokes in the oar's life", _FILE),
    "Joint.start": ("x_j1", "m", "where the joint begins", "built from the shaft file"),
    "Joint.end": ("x_j2", "m", "where the joint ends", "built from the shaft file"),
}
"""by class and name: symbol, unit, words, origin; `{n}` is the part's number"""
_PROPERTIES: dict[Property, str] = {
    "bending": "modulus of rupture",
    "shear": "shear along the grain",
    "compression": "crushing along the grain",
    "bearing": "compression across the grain",
    "tension_across": "tension across the grain",
    "stiffness": "modulus of elasticity",
}
_CONDITIONS = {
    "dry": ("P_12", "Pa", "mean at 12 % of", "12 %"),
    "green": ("P_g", "Pa", "mean when green of", "green"),
    "scatter": ("V", "", "coefficient of variation of", "green"),
}

T = TypeVar("T")


def lifted(shaft: Shaft, own: float, woods: Mapping[str, WoodCard]) -> tuple[Shaft, Array]:
    """Return a shaft whose every number bears its name, and the user's own divisor likewise; for a listener.

    Parameters
    ----------
    woods : cards by the name of the wood, for the printed source of each figure
    """
    divisor = given(np.asarray(own), Sym("n_u", "", "the user's own divisor"), _FILE)
    return _part(shaft, 0, woods), divisor


def _part(part: T, n: int, woods: Mapping[str, WoodCard]) -> T:
    if isinstance(part, tuple):
        return tuple(_part(p, i, woods) for i, p in enumerate(part, 1))  # type: ignore[return-value]
    if isinstance(part, Wood):
        return _wood(part, woods.get(part.name))  # type: ignore[return-value]
    if not is_dataclass(part) or isinstance(part, type):
        return part
    new: dict[str, Any] = {}
    for f in fields(part):
        value = getattr(part, f.name)
        if isinstance(value, np.ndarray | np.floating):
            name, unit, words, origin = _named(type(part), f.name)
            new[f.name] = given(np.asarray(value), Sym(name.format(n=n), unit, words.format(n=n)), origin)
        else:
            new[f.name] = _part(value, n, woods)
    return replace(part, **new)


def _wood(wood: Wood, card: WoodCard | None) -> Wood:
    def values(condition: str) -> Any:
        symbol, unit, words, state = _CONDITIONS[condition]
        old = getattr(wood, condition)
        return replace(old, **{
            prop: given(
                getattr(old, prop),
                Sym(symbol, unit, f"{words} {_PROPERTIES[prop]}, {wood.name}"),
                _printed(card, prop, state, condition == "scatter"),
            )
            for prop in PRINTED
        })  # fmt: skip

    def one(name: str) -> Array:
        symbol, unit, words, origin = NAMES[f"Wood.{name}"]
        return given(getattr(wood, name), Sym(symbol, unit, f"{words}, {wood.name}"), origin)

    new: dict[str, Any] = {c: values(c) for c in _CONDITIONS}
    new |= {name: one(name) for name in ("hardwood", "green_at", "gravity", "shear_ratio")}
    return replace(wood, **new)


def _printed(card: WoodCard | None, prop: Property, state: str, scatter: bool) -> str:
    """Return which printing a figure was taken from."""
    statistic = "coefficient of variation" if scatter else "mean"
    rows = [] if card is None else [
        r for r in card.rows
        if r.taken and (r.property, r.condition, r.statistic) == (PRINTED[prop], state, statistic)
    ]  # fmt: skip
    if len(rows) != 1:
        return "the woods' rows, the lowest of several, or an estimate: see the wood's card"
    (row,) = rows
    return f"{row.source}, {row.place} ({row.how})"


def _named(cls: type, field: str) -> tuple[str, str, str, str]:
    for base in cls.__mro__:
        if (found := NAMES.get(f"{base.__name__}.{field}")) is not None:
            return found
    words, unit = _words(cls).get(field, ("", ""))
    first, *rest = field.split("_")
    return f"{first[0]}_{''.join(w[:2] for w in (first[1:], *rest))}".rstrip("_"), unit, words or field, _FILE


@cache
def _words(cls: type) -> dict[str, tuple[str, str]]:
    """Return the words and the unit that a class gives its fields, as they stand under each in its source."""
    module = ast.parse(inspect.getsource(sys.modules[cls.__module__]))
    body = next(n.body for n in module.body if isinstance(n, ast.ClassDef) and n.name == cls.__name__)
    out: dict[str, tuple[str, str]] = {}
    waiting: list[str] = []
    for node in body:
        if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            waiting.append(node.target.id)
        elif isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and waiting:
            text = " ".join(str(node.value.value).split())
            unit = re.search(r" ?\[([^\]]*)\]", text)
            known = {"m": "m", "Pa": "Pa", "N": "N", "kg/m3": "kg/m**3"}
            words = text.replace(unit[0], "") if unit else text
            out.update(dict.fromkeys(waiting, (words, known.get(unit[1], "") if unit else "")))
            waiting = []
    return out
