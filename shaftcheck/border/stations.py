"""The sections of a shaft file: from sizes as they are told to stations."""

from __future__ import annotations

import math
from contextlib import suppress

from shaftcheck.border.fit import Fits, Values
from shaftcheck.border.hints import example
from shaftcheck.border.shaftfile import Reading
from shaftcheck.border.shown import show
from shaftcheck.errors import AbsentError, Fault
from shaftcheck.model import Station, number

__all__ = ["STRAIGHT", "stations"]

STRAIGHT = "sizes run straight from one section to the next: give one more wherever the shaft is slimmer than that"


def stations(reading: Reading, v: Values, fits: Fits) -> tuple[Station, ...] | None:
    """Return the sections; None where one of them has a fault."""
    before = len(fits.faults)
    count = reading.counts["section"]
    out: list[Station] = []
    for i in range(1, count + 1):
        _place(reading, v, i, fits)
        with suppress(AbsentError):
            station = _station(reading, v, f"section.{i}", fits)
            out += [] if station is None else [station]
    fits.must(
        lambda: count == 0 or v["section.1.at"] <= 0.0,
        "section.1.at",
        "the shaft has no section at the handle end",
        example('write at = "0 mm" for the first', reading.told),
    )
    fits.must(
        lambda: count < 2 or v[f"section.{count}.at"] >= _neck(v) - 1e-9,
        f"section.{count}.at",
        "the sections end before the neck, where the blade begins",
        lambda: f'give a section at = "{show(_neck(v), "length", reading.told, side="up")}"',
    )
    inside = reading.entries.get("oar.inside")
    fits.must(
        lambda: v.word("oar.solid_ends") is None or inside is None or inside.value != "solid",
        "oar.solid_ends",
        "told of a shaft that is told to be solid",
        "leave it out",
    )
    return tuple(out) if len(out) == count > 0 and len(fits.faults) == before else None


def _neck(v: Values) -> float:
    return v["oar.length"] - v["oar.blade_length"]


def _place(reading: Reading, v: Values, i: int, fits: Fits) -> None:
    at = f"section.{i}.at"
    fits.must(
        lambda: i == 1 or v[at] > v[f"section.{i - 1}.at"] or v[f"section.{i - 1}.at"] > v["oar.length"],
        at,
        "not beyond the section before it",
        "give the sections from the handle end on",
    )
    fits.must(
        lambda: v[at] <= v["oar.length"] * (1 + 1e-12),
        at,
        "past the tip",
        lambda: f"write at most {show(v['oar.length'], 'length', reading.told, side='down')}",
    )


def _station(reading: Reading, v: Values, path: str, fits: Fits) -> Station | None:
    """Return one section; None where it has a fault."""
    size = _size(reading, v, path, fits)
    if size is None:
        return None
    depth, width, exponent = size
    wall, told_solid = v.get(f"{path}.wall"), v.word(f"{path}.inside") == "solid"
    fits.must(lambda: wall is None or not told_solid, path, "both solid and with a wall", "keep one of the two")
    fits.must(
        lambda: wall is None or wall < min(depth, width) / 2.0,
        f"{path}.wall",
        "as thick as the section is wide",
        "measure it again, or call it solid",
    )
    hollow = v.choice("oar.inside") == "hollow"
    open_ = reading.entries["oar.inside"].how == "unknown"
    fits.must(
        lambda: not hollow or wall is not None or told_solid,
        path,
        "the shaft may be hollow, and no wall given" if open_ else "hollow shaft, and no wall given",
        example(f'write wall = "{"unknown (5 mm to 12 mm)" if open_ else "9 mm"}", or inside = "solid"', reading.told),
    )
    fits.must(
        lambda: wall is None or hollow or reading.entries["oar.inside"].how == "unknown",
        f"{path}.wall",
        "the oar is told to be solid",
        'write inside = "hollow" under [oar]',
    )
    return Station(
        x=number(v[f"{path}.at"]),
        depth=number(depth),
        width=number(width),
        exponent=number(exponent),
        wall=number(wall if hollow and wall is not None and not told_solid else math.inf),
    )


def _size(reading: Reading, v: Values, path: str, fits: Fits) -> tuple[float, float, float] | None:
    """Return depth, width and exponent of one section."""
    v.sound(path)
    shape, fullness = v.choice(f"{path}.shape"), v.get(f"{path}.fullness")
    deep, wide, across, girth = (v.get(f"{path}.{k}") for k in ("fore_and_aft", "up_and_down", "across", "girth"))
    exponent = {"oval": 2.0, "rectangle": math.inf, "superoval": fullness or 2.0}[shape]
    if (shape == "superoval") != (fullness is not None):
        fits.faults.append(
            Fault(
                f"{path}.fullness",
                "needed for a superoval, and for nothing else",
                'write shape = "superoval" and fullness = 2.5',
            )
        )
    given = tuple(s is not None for s in (deep, wide, across, girth))
    if given == (True, True, False, False):
        return float(deep or 0), float(wide or 0), exponent
    if shape == "oval" and given == (False, False, True, False):
        return float(across or 0), float(across or 0), exponent
    if shape == "oval" and given == (False, False, False, True):
        return float(girth or 0) / math.pi, float(girth or 0) / math.pi, exponent
    if shape == "oval" and given == (True, False, False, True):
        solved = _other_axis(float(girth or 0), float(deep or 0))
        if solved is not None:
            return float(deep or 0), solved, exponent
        wrong = "too short or too long for that fore-and-aft size"
        fits.faults.append(Fault(f"{path}.girth", wrong, "measure both again"))
        return None
    wrong = "its size is not told, or told twice" if shape == "oval" else f"a {shape} is told by two sizes"
    write = 'write fore_and_aft = "46 mm" and up_and_down = "42 mm"'
    if shape == "oval":
        write += ', or across = "45 mm", or girth = "141 mm", or girth and fore_and_aft'
    fits.faults.append(Fault(path, wrong, example(write, reading.told)))
    return None


def _other_axis(girth: float, deep: float) -> float | None:
    """Return the other axis of an oval from its girth, by Ramanujan's second approximation (from memory)."""

    def around(wide: float) -> float:
        h = ((deep - wide) / (deep + wide)) ** 2
        return math.pi * (deep + wide) / 2.0 * (1.0 + 3.0 * h / (10.0 + math.sqrt(4.0 - 3.0 * h)))

    low, high = 0.2 * deep, 5.0 * deep
    if not around(low) < girth < around(high):
        return None
    for _ in range(60):
        mid = (low + high) / 2.0
        low, high = (mid, high) if around(mid) < girth else (low, mid)
    return low
