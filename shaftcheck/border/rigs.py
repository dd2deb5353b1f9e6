"""The rig of a shaft file: a lock, or two cradles on pins of their own."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from shaftcheck.border.keys import TABLES
from shaftcheck.border.values import OneEach
from shaftcheck.checks.plug import PLUG_ENDS
from shaftcheck.errors import Fault
from shaftcheck.model import Array, Hinged, OnePiece, Rig, Station, number
from shaftcheck.sections import at

__all__ = ["plugged", "rig_of"]

_LINERS = {"none": 1e9, "rubber": 8e6, "leather": 40e6}
"""modulus of a thin bonded liner [Pa] (from memory, with doubt); of none it does not matter"""


def rig_of(v: OneEach, neck: float, told_bolts: object, faults: list[Fault]) -> Rig:
    """Return the rig that a shaft file tells.

    Parameters
    ----------
    neck : where the blade begins [m]
    told_bolts : which way the cradles' bolts pass; None where that is unknown
    faults : where what does not fit is noted
    """
    hand = v["rig.hand"]
    if v.word("rig.kind") == "lock":
        lock, half = v["rig.lock"], v["rig.lock_touches"] / 2.0
        if not hand < lock - half < lock + half < neck:
            faults.append(
                Fault(
                    "rig.lock",
                    "not between the hand and the neck",
                    "measure hand, lock and blade length from the same ends",
                )
            )
        return OnePiece(
            hand=number(hand),
            lock=number(lock),
            contact=number(v["rig.lock_spreads"]),
            seat=number(v["rig.lock_touches"]),
            wet=number(float(v.word("rig.lock_stays_wet") == "yes")),
        )
    ends = v["rig.inner_ends"]
    restart = ends + v["rig.kerf"]
    inner_from, outer_to = ends - v["rig.inner_cradle"], restart + v["rig.outer_cradle"]
    if not hand < inner_from:
        faults.append(Fault("rig.inner_cradle", "reaches past the hand", "measure it from where the inner half ends"))
    if not outer_to < neck:
        faults.append(Fault("rig.outer_cradle", "reaches past the neck", "measure it from where the outer half begins"))
    if not hand < v["rig.inner_pin"] or not v["rig.outer_pin"] < neck:
        faults.append(Fault("rig.inner_pin", "pins not between hand and neck", "measure both from the handle end"))
    if v["rig.inner_pin"] > restart + 1e-9:
        faults.append(Fault("rig.inner_pin", "past the start of the outer half", "measure both from the handle end"))
    if v["rig.outer_pin"] < ends - 1e-9 or v["rig.outer_pin"] <= v["rig.inner_pin"]:
        faults.append(Fault("rig.outer_pin", "not on the outer half's side", "measure both pins from the handle end"))
    ratio, moves = v.get("rig.link_ratio"), (v.get("rig.hand_moves"), v.get("rig.blade_moves"))
    if ratio is None and None not in moves:
        tip = v["oar.length"] - v["oar.blade_length"] / 2.0
        arms = max(tip - v["rig.outer_pin"], 1e-9), max(v["rig.inner_pin"] - hand, 1e-9)
        ratio = (float(moves[1] or 0) / arms[0]) / (float(moves[0] or 0) / arms[1])
        bounds = TABLES["rig"]["link_ratio"]
        if not bounds.low <= ratio <= bounds.high:
            wrong = f"gives a ratio of {ratio:.3g}, which must lie between {bounds.low:g} and {bounds.high:g}"
            faults.append(Fault("rig.blade_moves", wrong, "measure both again"))
    elif ratio is None or any(m is not None for m in moves):
        faults.append(
            Fault(
                "rig.link_ratio",
                "needed, once: it is never guessed",
                'write hand_moves = "300 mm" and blade_moves = "520 mm" as measured, or link_ratio = 0.9',
            )
        )
    bolt, bolt_fore, inner_bolt, outer_bolt = _bolts(v, ends, restart, told_bolts, faults)
    return Hinged(
        hand=number(hand),
        saw=number(ends),
        restart=number(restart),
        inner_pin=number(v["rig.inner_pin"]),
        inner_from=number(inner_from),
        inner_to=number(ends),
        outer_pin=number(v["rig.outer_pin"]),
        outer_from=number(restart),
        outer_to=number(outer_to),
        ratio=number(ratio or 1.0),
        spacing=number(v["rig.pin_spacing"]),
        link_arm=number(v.get("rig.link_arm") or math.nan),
        wet=number(float(v.word("rig.cradle_stays_wet") == "yes")),
        clamp=number(v["rig.clamp_force"]),
        liner=number(0.0 if v.word("rig.liner") == "none" else v["rig.liner_thickness"]),
        liner_stiffness=number(_LINERS[str(v.word("rig.liner"))]),
        wraps=number(float(v.word("rig.cradle_seat") == "wraps")),
        bolted_through=number(float(v.word("rig.bolts") == "through")),
        bolt=number(bolt),
        bolt_fore=number(bolt_fore),
        inner_bolt=number(inner_bolt),
        outer_bolt=number(outer_bolt),
        inner_plug=number(ends - (v.get("rig.inner_plug") or math.nan)),
        outer_plug=number(restart + (v.get("rig.outer_plug") or math.nan)),
        plug_raiser=number(PLUG_ENDS.get(str(v.word("rig.plug_ends")), math.nan)),
        link_on_shaft=number(float(v.word("rig.link_on") == "shaft")),
    )


def _bolts(
    v: OneEach, ends: float, restart: float, told: object, faults: list[Fault]
) -> tuple[float, float, float, float]:
    """Return diameter, direction (1 fore and aft) and both places of the bolts through the shaft; nan if not told.

    Where it is told that they go through, all of it is needed; where that is unknown, what lacks is not known.
    """
    keys = ("bolt_diameter", "inner_bolt_from_end", "outer_bolt_from_end")
    if v.word("rig.bolts") != "through":
        if told == "beside":
            wrong, write = "told, and no bolt goes through the shaft", 'write bolts = "through", or leave it out'
            faults += [Fault(f"rig.{k}", wrong, write) for k in (*keys, "bolts_run") if f"rig.{k}" in v.values]
        return math.nan, math.nan, math.nan, math.nan
    size, inner, outer = (v.get(f"rig.{key}") for key in keys)
    run = v.word("rig.bolts_run")
    if told == "through":
        for key, value in (*zip(keys, (size, inner, outer), strict=True), ("bolts_run", run)):
            if value is None:
                write = f'write {key} = "{TABLES["rig"][key].example}"'
                faults.append(Fault(f"rig.{key}", "needed where bolts go through the shaft", write))
    half = (size or 0.0) / 2.0
    for which, value in (("inner", inner), ("outer", outer)):
        if value is not None and not half < value < v[f"rig.{which}_cradle"] - half:
            wrong, write = "the bolt does not stand within its cradle", "measure it from the sawn end to its middle"
            faults.append(Fault(f"rig.{which}_bolt_from_end", wrong, write))
    return (
        math.nan if size is None else size,
        math.nan if run is None else float(run == "fore and aft"),
        math.nan if inner is None else ends - inner,
        math.nan if outer is None else restart + outer,
    )


def plugged(stations: tuple[Station, ...], rig: Rig) -> tuple[Station, ...]:
    """Return the sections with each half solid over its plug, from the cut to the plug's end."""
    if not isinstance(rig, Hinged):
        return stations
    for a, b in ((rig.inner_plug, rig.saw), (rig.restart, rig.outer_plug)):
        if not bool(np.isnan(a + b)):
            stations = _solid(stations, a, b)
    return stations


def _solid(stations: tuple[Station, ...], start: Array, end: Array) -> tuple[Station, ...]:
    solid = number(math.inf)
    within = tuple(replace(s, wall=solid) if start < s.x < end else s for s in stations)

    def cut(x: Array) -> Station:
        depth, width, exponent, wall = (v[0, 0] for v in at(x[None, None], stations))
        return Station(x=x, depth=depth, width=width, exponent=exponent, wall=wall)

    first, last = cut(start), cut(end)
    ends = (first, replace(first, wall=solid), replace(last, wall=solid), last)
    before = tuple(s for s in within if s.x <= start)
    after = tuple(s for s in within if s.x >= end)
    inside = tuple(s for s in within if start < s.x < end)
    return (*before, *ends[:2], *inside, *ends[2:], *after)
