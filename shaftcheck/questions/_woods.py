"""What the questions about woods share: a shaft of two woods, what may be built in, and how a pair is written down."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from shaftcheck import sections
from shaftcheck.border.assemble import Built
from shaftcheck.border.files import text
from shaftcheck.border.planks import Plank, own_table, planks
from shaftcheck.border.shaftfile import Reading, own_woods, parse
from shaftcheck.border.wood_cards import WoodCard, model_wood, with_estimates
from shaftcheck.border.wood_rows import BONDING
from shaftcheck.border.woods import find
from shaftcheck.errors import Fault, InputError
from shaftcheck.frozen import frozen
from shaftcheck.key import Key
from shaftcheck.model import Array, Hinged, Shaft, Wood
from shaftcheck.questions.question import Asked
from shaftcheck.studies.planks import unfit, unsure
from shaftcheck.studies.woods import Stock

__all__ = [
    "SHELF",
    "Candidate",
    "bonding",
    "glued",
    "lacks_of",
    "named",
    "of_plank",
    "of_table",
    "on_shelf",
    "places",
    "stock_of",
    "too_small",
    "two_woods",
    "with_woods",
]


SHELF = Key(
    kind="text",
    help="a file of [[plank]] tables beside those in the shaft file",
    example="shelf.toml",
    optional=True,
)
"""the option that names a shelf of planks"""


@frozen
class Candidate:
    """Something to build of: a plank in hand, or a wood of the tables."""

    name: str
    wood: Wood
    slope: float | None
    """run-out of a plank; None: as the shaft file has it at that place"""
    bonding: str
    plank: Plank | None = None
    estimate: bool = False
    """whether values that the tables lack were filled by a relation"""
    own: Mapping[str, Any] | None = None
    """its table of [own_wood], where it is one"""


def two_woods(reading: Reading, built: Built) -> Shaft:
    """Return the shaft, if it is one of two pieces of wood.

    Raises
    ------
    InputError
        if it is not.
    """
    count = len(built.shaft.pieces)
    if count != 2:
        wrong = f"{count} {'piece' if count == 1 else 'pieces'} of wood, and this question is of two"
        write = "give two [[wood]] tables, with a [[joint]] or the two halves of a hinged rig between them"
        raise InputError(reading.name, [Fault("wood", wrong, write)])
    return built.shaft


def on_shelf(asked: Asked, option: str = "shelf") -> tuple[Plank, ...]:
    """Return the planks of the shaft file and of the shelf file that the option names."""
    name, doc = asked.docs[0]
    found = list(planks(doc, name))
    file = asked.word(option)
    if file:
        more = planks(parse(text(file), file), file)
        if not more:
            raise InputError(file, [Fault("plank", "no plank in it", "write a [[plank]] table for each")])
        twice = [p.name for p in more if p.name in {q.name for q in found}]
        if twice:
            raise InputError(file, [Fault("plank", f"'{twice[0]}' is in both files", "keep one of the two")])
        found += more
    return tuple(found)


def of_plank(plank: Plank) -> Candidate:
    """Return a plank as something to build of."""
    return Candidate(
        name=plank.name,
        wood=plank.wood,
        slope=plank.slope,
        bonding=plank.card.bonding,
        plank=plank,
        own=own_table(plank),
    )


def of_table(card: WoodCard, *, estimate: bool, own: Mapping[str, Any] | None = None) -> Candidate:
    """Return a wood of the tables, or of the shaft file's own."""
    wood = with_estimates(card)[0] if estimate else model_wood(card)
    return Candidate(name=card.name, wood=wood, slope=None, bonding=card.bonding, estimate=estimate, own=own)


def stock_of(candidates: Sequence[Candidate], slope: Array) -> Stock:
    """Return candidates as the study takes them; where none is told, the run-out is the shaft file's."""
    return Stock.of([c.wood for c in candidates], [float(slope) if c.slope is None else c.slope for c in candidates])


def named(name: str, doc: Mapping[str, Any], shelf: tuple[Plank, ...], *, estimate: bool) -> Candidate:
    """Return what a name means: a plank of the shelf, a wood of the file's own, or one of the tables.

    Raises
    ------
    NotFoundError
        if it means nothing.
    """
    for plank in shelf:
        if name in (plank.name, plank.short):
            return of_plank(plank)
    own, _ = own_woods(doc.get("own_wood", {}))
    if name in own:
        return of_table(own[name], estimate=estimate, own=doc["own_wood"][name])
    return of_table(find(name), estimate=estimate)


def lacks_of(plank: Plank) -> tuple[list[str], list[str]]:
    """Return why a plank is not for oars, and what must be measured before it can be called good."""
    r = plank.revised
    against = unfit(
        r,
        clear=plank.clear,
        slope=plank.slope,
        ring=plank.ring,
        genus=plank.card.botanical.split(" ")[0],
        hard=plank.card.kind == "hardwood",
    )
    return against, unsure(r, slope_told=plank.slope_told, ring=plank.ring, rough=plank.rough, moisture=plank.moisture)


def glued(shaft: Shaft) -> bool:
    """Return whether the two woods are glued to each other."""
    return any(j.kind == "scarf" for j in shaft.joints)


def bonding(a: Candidate, b: Candidate) -> tuple[str, float]:
    """Return the harder to bond of the two classes and its rank, easiest 0; empty and nan where one is not known."""
    if not a.bonding or not b.bonding:
        return "", float("nan")
    rank = max(BONDING.index(a.bonding), BONDING.index(b.bonding))
    return BONDING[rank], float(rank)


def places(shaft: Shaft) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return from where to where the inner and the outer piece of wood reach, the joint in both [m]."""
    rig = shaft.rig
    meet = float(shaft.pieces[-1].start)
    over = [j for j in shaft.joints if float(j.start) <= meet <= float(j.end)]
    inner, outer = (float(over[0].end), float(over[0].start)) if over else (meet, meet)
    if isinstance(rig, Hinged):
        inner, outer = float(rig.saw), float(rig.restart)
    return (0.0, inner), (outer, float(shaft.length))


def too_small(plank: Plank, shaft: Shaft, reach: tuple[float, float]) -> str:
    """Return in what a plank is too small for a piece of the shaft; empty where it is large enough."""
    lo, hi = reach
    if not plank.length >= hi - lo:
        return "too short"
    top = min(hi, float(shaft.blade.neck))
    at = np.array([lo, top, *(float(s.x) for s in shaft.stations if lo < float(s.x) < top)])
    depth, width, _, _ = sections.at(at[None], shaft.stations)
    small, large = sorted((plank.thickness, plank.width))
    if not (np.minimum(depth, width).max() <= small and np.maximum(depth, width).max() <= large):
        return "too thin: gluing it up is not checked"
    return ""


def with_woods(doc: Mapping[str, Any], woods: Sequence[Candidate], title: str) -> dict[str, Any]:
    """Return the tables of a shaft file with other woods laid in, one for each piece."""
    out = {k: v for k, v in doc.items() if k not in ("plank", "change", "measured")}
    out["title"] = title
    tables = []
    for table, c in zip(doc["wood"], woods, strict=True):
        new = {k: v for k, v in table.items() if k != "lacking_values"} | {"of": c.name}
        if c.slope is not None:
            new["runout"] = f"1:{1.0 / c.slope:.10g}"
        if c.estimate:
            new["lacking_values"] = "estimate"
        tables.append(new)
    out["wood"] = tables
    own = {c.name: dict(c.own) for c in woods if c.own is not None}
    out.pop("own_wood", None)
    if own:
        out["own_wood"] = own
    return out
