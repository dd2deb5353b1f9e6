"""The rig of a shaft file: a lock, or two cradles on pins of their own."""

from __future__ import annotations

import math
from contextlib import suppress

from shaftcheck.border.fit import Fits, Values
from shaftcheck.border.hints import example, needed
from shaftcheck.border.keys import TABLES
from shaftcheck.border.shaftfile import Reading
from shaftcheck.checks.plug import PLUG_ENDS
from shaftcheck.errors import AbsentError, Fault
from shaftcheck.model import Hinged, OnePiece, Rig, number

__all__ = ["rig_of"]

_BOTH_ENDS = "measure both from the handle end"


def rig_of(reading: Reading, v: Values, fits: Fits) -> Rig | None:
    """Return the rig that a shaft file tells; None where what it takes has a fault of its own."""
    kind = None
    with suppress(AbsentError):
        kind = v.choice("rig.kind")
    if kind == "lock":
        _lock_fits(reading, v, fits)
        with suppress(AbsentError):
            return _lock(v)
    if kind == "hinged":
        _hinged_fits(reading, v, fits)
        with suppress(AbsentError):
            return _hinged(v, _ratio(reading, v, fits))
    return None


def _neck(v: Values) -> float:
    return v["oar.length"] - v["oar.blade_length"]


def _lock_fits(reading: Reading, v: Values, fits: Fits) -> None:
    fits.must(
        lambda: (
            v["rig.hand"] < v["rig.lock"] - v["rig.lock_touches"] / 2.0
            and v["rig.lock"] + v["rig.lock_touches"] / 2.0 < _neck(v)
        ),
        "rig.lock",
        "not between the hand and the neck",
        "measure hand, lock and blade length from the same ends",
    )
    spreads, presses = "rig.lock_spreads", "rig.lock_touches"
    fits.must(
        lambda: v[spreads] <= v[presses] + 1e-9 or any(reading.entries[k].how == "unknown" for k in (spreads, presses)),
        spreads,
        "more than the lock presses, which is lock_touches",
        "write no more than lock_touches; what lies between, as a leather, spreads nothing",
    )


def _lock(v: Values) -> OnePiece:
    """Return the lock; one of unknown sizes bends the shaft over no more than it presses of it."""
    return OnePiece(
        hand=number(v["rig.hand"]),
        lock=number(v["rig.lock"]),
        contact=number(min(v["rig.lock_spreads"], v["rig.lock_touches"])),
        seat=number(v["rig.lock_touches"]),
        wet=number(float(v.choice("rig.lock_stays_wet") == "yes")),
    )


def _restart(v: Values) -> float:
    return v["rig.inner_ends"] + v["rig.kerf"]


def _hinged_fits(reading: Reading, v: Values, fits: Fits) -> None:
    inner, outer = "rig.inner_pin", "rig.outer_pin"
    fits.must(
        lambda: v["rig.hand"] < v["rig.inner_ends"] - v["rig.inner_cradle"],
        "rig.inner_cradle",
        "reaches past the hand",
        "measure it from where the inner half ends",
    )
    fits.must(
        lambda: _restart(v) + v["rig.outer_cradle"] < _neck(v),
        "rig.outer_cradle",
        "reaches past the neck",
        "measure it from where the outer half begins",
    )
    fits.must(
        lambda: v["rig.hand"] < v[inner] and v[outer] < _neck(v), inner, "pins not between hand and neck", _BOTH_ENDS
    )
    fits.must(lambda: v[inner] <= _restart(v) + 1e-9, inner, "past the start of the outer half", _BOTH_ENDS)
    fits.must(
        lambda: v[outer] >= v["rig.inner_ends"] - 1e-9 and (v[outer] > v[inner] or v[inner] > _restart(v)),
        outer,
        "not on the outer half's side",
        "measure both pins from the handle end",
    )
    _pins_stand(v, fits)
    _bolts_fit(reading, v, fits)
    _plugs_fit(reading, v, fits)


def _pins_stand(v: Values, fits: Fits) -> None:
    """Note a pin beside the free length of its half; beyond a sawn end the cradle's frame can carry it."""
    wrong, write = "beside the free shaft, not by its cradle", "write where the pin stands, or a cradle that reaches it"
    fits.must(
        lambda: v["rig.inner_pin"] >= v["rig.inner_ends"] - v["rig.inner_cradle"] - 1e-9, "rig.inner_pin", wrong, write
    )
    fits.must(lambda: v["rig.outer_pin"] <= _restart(v) + v["rig.outer_cradle"] + 1e-9, "rig.outer_pin", wrong, write)


def _bolts_fit(reading: Reading, v: Values, fits: Fits) -> None:
    """Note what lacks of bolts through the shaft; where it is unknown whether they go through, it may."""
    places = {half: f"rig.{half}_bolt_from_end" for half in ("inner", "outer")}
    told = reading.entries["rig.bolts"].value if "rig.bolts" in reading.entries else None
    for path in ("rig.bolt_diameter", *places.values(), "rig.bolts_run"):
        with suppress(AbsentError):
            there = v.word(path) is not None
            if told == "beside" and there:
                wrong, write = "told, and no bolt goes through the shaft", 'write bolts = "through", or leave it out'
                fits.faults.append(Fault(path, wrong, write))
            if told == "through" and not there:
                key = path.rpartition(".")[2]
                write = needed(key, TABLES["rig"][key], reading.told)
                fits.faults.append(Fault(path, "needed where bolts go through the shaft", write))
    if told == "beside":
        return
    for half, path in places.items():
        with suppress(AbsentError):
            place, radius = v.get(path), (v.get("rig.bolt_diameter") or 0.0) / 2.0
            if place is not None and not radius < place < v[f"rig.{half}_cradle"] - radius:
                wrong, write = "the bolt does not stand within its cradle", "measure it from the sawn end to its middle"
                fits.faults.append(Fault(path, wrong, write))


def _plugs_fit(reading: Reading, v: Values, fits: Fits) -> None:
    inside = reading.entries.get("oar.inside")
    plugs = ("rig.inner_plug", "rig.outer_plug")
    for path in (*plugs, "rig.plug_ends"):
        fits.must(
            lambda path=path: v.word(path) is None or inside is None or inside.value != "solid",  # type: ignore[misc]
            path,
            "a plug in a shaft that is told to be solid",
            "leave it out",
        )
    fits.must(
        lambda: (
            v.word("rig.plug_ends") is not None
            or all(v.get(path) is None for path in plugs)
            or (inside is not None and inside.value == "solid")
        ),
        "rig.plug_ends",
        "needed where there is a plug",
        "write tapered or square, or unknown",
    )


def _ratio(reading: Reading, v: Values, fits: Fits) -> float:
    """Return the swing of the blade half over that of the hand half, as told or by what moves how far."""
    told = reading.told
    ratio, moves = v.get("rig.link_ratio"), (v.get("rig.hand_moves"), v.get("rig.blade_moves"))
    if ratio is None and None not in moves:
        tip = v["oar.length"] - v["oar.blade_length"] / 2.0
        arms = max(tip - v["rig.outer_pin"], 1e-9), max(v["rig.inner_pin"] - v["rig.hand"], 1e-9)
        ratio = (float(moves[1] or 0) / arms[0]) / (float(moves[0] or 0) / arms[1])
        bounds = TABLES["rig"]["link_ratio"]
        if not bounds.low <= ratio <= bounds.high:
            wrong = f"gives a ratio of {ratio:.3g}, which must lie between {bounds.low:g} and {bounds.high:g}"
            fits.faults.append(Fault("rig.blade_moves", wrong, "measure both again"))
    elif ratio is not None and any(m is not None for m in moves):
        write = "keep link_ratio alone, or hand_moves and blade_moves"
        fits.faults.append(Fault("rig.link_ratio", "told twice, itself and by what moves how far", write))
    elif ratio is None:
        fits.faults.append(
            Fault(
                "rig.link_ratio",
                "needed, once: it is never guessed",
                example(
                    'write hand_moves = "300 mm" and blade_moves = "520 mm" as measured, or link_ratio = 0.9', told
                ),
            )
        )
    return ratio or 1.0


def _hinged(v: Values, ratio: float) -> Hinged:
    from shaftcheck.checks.cradle import LINERS

    ends, restart = v["rig.inner_ends"], _restart(v)
    bolt, bolt_fore, inner_bolt, outer_bolt = _bolts(v)
    return Hinged(
        hand=number(v["rig.hand"]),
        saw=number(ends),
        restart=number(restart),
        inner_pin=number(v["rig.inner_pin"]),
        inner_from=number(ends - v["rig.inner_cradle"]),
        inner_to=number(ends),
        outer_pin=number(v["rig.outer_pin"]),
        outer_from=number(restart),
        outer_to=number(restart + v["rig.outer_cradle"]),
        ratio=number(ratio),
        spacing=number(v["rig.pin_spacing"]),
        link_arm=number(v.get("rig.link_arm") or math.nan),
        wet=number(float(v.choice("rig.cradle_stays_wet") == "yes")),
        clamp=number(v["rig.clamp_force"]),
        liner=number(0.0 if v.choice("rig.liner") == "none" else v["rig.liner_thickness"]),
        liner_stiffness=number(LINERS[v.choice("rig.liner")]),
        wraps=number(float(v.choice("rig.cradle_seat") == "wraps")),
        bolted_through=number(float(v.choice("rig.bolts") == "through")),
        bolt=number(bolt),
        bolt_fore=number(bolt_fore),
        inner_bolt=number(inner_bolt),
        outer_bolt=number(outer_bolt),
        inner_plug=number(ends - (v.get("rig.inner_plug") or math.nan)),
        outer_plug=number(restart + (v.get("rig.outer_plug") or math.nan)),
        plug_raiser=number(PLUG_ENDS.get(str(v.word("rig.plug_ends")), math.nan)),
        link_on_shaft=number(float(v.choice("rig.link_on") == "shaft")),
    )


def _bolts(v: Values) -> tuple[float, float, float, float]:
    """Return diameter, direction (1 fore and aft) and both places of the bolts through the shaft; nan if not told."""
    if v.choice("rig.bolts") != "through":
        return math.nan, math.nan, math.nan, math.nan
    size, inner, outer = (
        v.get(f"rig.{key}") for key in ("bolt_diameter", "inner_bolt_from_end", "outer_bolt_from_end")
    )
    run = v.word("rig.bolts_run")
    return (
        math.nan if size is None else size,
        math.nan if run is None else float(run == "fore and aft"),
        math.nan if inner is None else v["rig.inner_ends"] - inner,
        math.nan if outer is None else _restart(v) + outer,
    )
