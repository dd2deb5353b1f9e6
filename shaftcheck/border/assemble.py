"""The shaft file, second step: from one value for every entry to the shaft, with the faults of what does not fit."""

from __future__ import annotations

import math
from collections.abc import Mapping

from shaftcheck.beam import density
from shaftcheck.border import sizes
from shaftcheck.border.flaws import flaws_of
from shaftcheck.border.keys import TABLES
from shaftcheck.border.rigs import plugged, rig_of
from shaftcheck.border.shaftfile import Entry, Reading
from shaftcheck.border.values import OneEach
from shaftcheck.border.wood_cards import model_wood, with_estimates
from shaftcheck.border.woods import find_tube
from shaftcheck.checks import JOINTS
from shaftcheck.checks.joint import Setting
from shaftcheck.errors import Fault, InputError
from shaftcheck.frozen import frozen
from shaftcheck.key import DIMENSION_OF, Value
from shaftcheck.loads.rowers import rower
from shaftcheck.model import Blade, Duty, Hinged, Joint, Piece, Rig, Shaft, Station, Wood, number
from shaftcheck.said import Said, Size, said, sized

__all__ = ["Built", "assemble"]

_BLADE_THICK = 0.012
"""mean thickness of a blade whose weight is not told [m] (judgement)"""
_MOISTURE = {"varnished": 0.16, "oiled": 0.20, "bare": 0.20}
"""moisture in use by how an oar is kept (judgement) [-]"""


@frozen
class Built:
    """A shaft with what was taken for granted to build it."""

    shaft: Shaft
    own: float
    """what the user divides each strength by [-]"""
    assumptions: tuple[Said, ...]


def _taken(e: Entry) -> Size | str:
    """Return what is taken for an input that is left out, to be said."""
    dimension = DIMENSION_OF.get(e.key.kind)
    return e.text if dimension is None or e.value is None else sized(float(e.value), dimension)


def assemble(reading: Reading, values: Mapping[str, Value]) -> Built:
    """Return the shaft for one value of every entry.

    Raises
    ------
    InputError
        if the parts do not fit each other.
    """
    v = OneEach(values)
    faults: list[Fault] = []
    assumed = [said(e.key.why, taken=_taken(e)) for e in reading.entries.values() if e.how == "assumed" and e.key.why]
    length, neck = v["oar.length"], v["oar.length"] - v["oar.blade_length"]
    stations = _stations(reading, v, length, neck, faults)
    # joints lie on the sections, so these must be right first
    joints = () if faults else _joints(reading, v, stations, length, neck, faults)
    bolts = reading.entries.get("rig.bolts")
    rig = rig_of(v, neck, None if bolts is None else bolts.value, faults)
    if isinstance(rig, Hinged) and v.word("oar.inside") == "solid" and reading.entries["oar.inside"].how != "unknown":
        keys = ("inner_plug", "outer_plug", "plug_ends")
        wrong, write = "a plug in a shaft that is told to be solid", "leave it out"
        faults += [Fault(f"rig.{k}", wrong, write) for k in keys if f"rig.{k}" in v.values]
    if "rig.plug_ends" not in v.values and ("rig.inner_plug" in v.values or "rig.outer_plug" in v.values):
        faults.append(Fault("rig.plug_ends", "needed where there is a plug", "write tapered or square, or unknown"))
    flaws = flaws_of(v, reading.counts["flaw"], length, faults)
    pieces = _pieces(reading, v, length, joints, rig, faults, assumed)
    rectangle = v["oar.blade_length"] * v["oar.blade_width"]
    area = v.get("oar.blade_area")
    if area is not None and reading.entries["oar.blade_area"].how == "unknown":
        area = min(area, rectangle)  # it can't be more
    if area is not None and area > rectangle * 1.001:
        faults.append(Fault("oar.blade_area", "more than the blade's length times its width", "measure one face again"))
    if faults:
        raise InputError(reading.name, faults)
    stations = plugged(stations, rig)
    outer = pieces[-1]
    mass = v.get("oar.blade_weight")
    off = v.get("oar.water_off_axis")
    why = {key: TABLES["oar"][key].why for key in ("blade_area", "blade_weight", "water_off_axis")}
    if area is None:
        area = rectangle
        assumed.append(said(why["blade_area"], taken=sized(area, "area", "up")))
    if mass is None:
        mass = float(area * _BLADE_THICK * density(outer))
        assumed.append(said(why["blade_weight"], thick=sized(_BLADE_THICK), taken=sized(mass, "mass")))
    if off is None:
        off = v["oar.blade_width"] / 6.0
        assumed.append(said(why["water_off_axis"], taken=sized(off)))
    crew = v.get("duty.boat_and_crew")
    if crew is None:
        assumed.append(said(TABLES["duty"]["boat_and_crew"].why))
    if isinstance(rig, Hinged) and v.get("rig.link_arm") is None:
        assumed.append(said(TABLES["rig"]["link_arm"].why))
    told = {
        key: pull
        for key, path in (
            ("steady", "rower.steady_pull"),
            ("hard", "rower.hard_pull"),
            ("start", "rower.start_pull"),
            ("once", "rower.greatest_pull"),
        )
        if (pull := v.get(path)) is not None
    }
    shaft = Shaft(
        length=number(length),
        stations=stations,
        pieces=pieces,
        joints=joints,
        blade=Blade(
            neck=number(neck),
            tip=number(length),
            area=number(area),
            width=number(v["oar.blade_width"]),
            off_axis=number(off),
            mass=number(mass),
        ),
        rig=rig,
        rower=rower(str(v.word("rower.strength")), str(v.word("rower.hands")), str(v.word("duty.levering")), told),
        duty=Duty(
            speed=number(v["duty.boat_speed"]),
            mass=number(math.inf if crew is None else crew),
            handle_free=number(float(v.word("duty.handle_free") == "yes")),
            strokes=number(v["duty.strokes"]),
        ),
        flaws=flaws,
        timber=number(float(not str(v.word("oar.material")).endswith("tube"))),
    )
    return Built(shaft=shaft, own=v.get("factors.own_divisor") or 1.0, assumptions=tuple(dict.fromkeys(assumed)))


def _stations(reading: Reading, v: OneEach, length: float, neck: float, faults: list[Fault]) -> tuple[Station, ...]:
    out: list[Station] = []
    hollow = v.word("oar.inside") == "hollow"
    for i in range(1, reading.counts["section"] + 1):
        path = f"section.{i}"
        size = _size(v, path, faults)
        if size is None:
            continue
        depth, width, exponent = size
        wall = v.get(f"{path}.wall")
        told_solid = v.word(f"{path}.inside") == "solid"
        if hollow and wall is None and not told_solid:
            faults.append(
                Fault(path, "hollow shaft, and no wall given", 'write wall = "9 mm", or inside = "solid" here')
            )
        if wall is not None and told_solid:
            faults.append(Fault(path, "both solid and with a wall", "keep one of the two"))
        if wall is not None and not hollow and reading.entries["oar.inside"].how != "unknown":
            faults.append(Fault(f"{path}.wall", "the oar is told to be solid", 'write inside = "hollow" under [oar]'))
        if wall is not None and wall >= min(depth, width) / 2.0:
            faults.append(
                Fault(f"{path}.wall", "as thick as the section is wide", "measure it again, or call it solid")
            )
        x = v[f"{path}.at"]
        if out and x <= float(out[-1].x):
            faults.append(
                Fault(f"{path}.at", "not beyond the section before it", "give the sections from the handle end on")
            )
        if x > length * (1 + 1e-12):
            faults.append(
                Fault(f"{path}.at", "past the tip", f"write at most {sizes.show(length, 'length', reading.system)}")
            )
        thick = wall if hollow and wall is not None and not told_solid else math.inf
        out.append(
            Station(
                x=number(x), depth=number(depth), width=number(width), exponent=number(exponent), wall=number(thick)
            )
        )
    if out and float(out[0].x) > 0.0:
        faults.append(
            Fault("section.1.at", "the shaft has no section at the handle end", 'write at = "0 mm" for the first')
        )
    if out and float(out[-1].x) < neck - 1e-9:
        faults.append(
            Fault(
                f"section.{reading.counts['section']}.at",
                "the sections end before the neck, where the blade begins",
                f'give a section at = "{sizes.show(neck, "length", reading.system, side="up")}"',
            )
        )
    return tuple(out)


def _size(v: OneEach, path: str, faults: list[Fault]) -> tuple[float, float, float] | None:
    """Return depth, width and exponent of one section."""
    deep, wide, across, girth = (v.get(f"{path}.{k}") for k in ("fore_and_aft", "up_and_down", "across", "girth"))
    shape, fullness = v.word(f"{path}.shape"), v.get(f"{path}.fullness")
    exponent = {"oval": 2.0, "rectangle": math.inf, "superoval": fullness or 2.0}[str(shape)]
    if (shape == "superoval") != (fullness is not None):
        faults.append(
            Fault(
                f"{path}.fullness",
                "needed for a superoval, and for nothing else",
                'write shape = "superoval" and fullness = 2.5',
            )
        )
        return None
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
        faults.append(Fault(f"{path}.girth", "too short or too long for that fore-and-aft size", "measure both again"))
        return None
    write = 'write fore_and_aft = "46 mm" and up_and_down = "42 mm"'
    if shape == "oval":
        write += ', or across = "45 mm", or girth = "141 mm", or girth and fore_and_aft'
    faults.append(Fault(path, "its size is not told, or told twice", write))
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


def _joints(
    reading: Reading, v: OneEach, stations: tuple[Station, ...], length: float, neck: float, faults: list[Fault]
) -> tuple[Joint, ...]:
    out = []
    for i in range(1, reading.counts["joint"] + 1):
        path = f"joint.{i}"
        kind = JOINTS[str(v.word(f"{path}.kind"))]
        mine = {key: v.values[f"{path}.{key}"] for key in kind.keys if f"{path}.{key}" in v.values}
        setting = Setting(
            path=path,
            values=mine,
            stations=stations,
            length=length,
            neck=neck,
            faults=faults,
            say=lambda sentence: sizes.say(sentence, reading.system),
            tubes=_tube,
        )
        joint = kind.build(setting)
        if joint is not None:
            out.append(joint)
    return tuple(out)


def _tube(name: str) -> dict[str, float]:
    """Return what is known of a tube material, as "property, direction" [SI]; nan where not known."""
    card = find_tube(name)
    known = {f"{r.property}, {r.direction}": card.value(r.property, r.direction) for r in card.rows}
    return known | {"trust": float(all(r.trust != "low" for r in card.rows if r.taken))}


def _pieces(
    reading: Reading,
    v: OneEach,
    length: float,
    joints: tuple[Joint, ...],
    rig: Rig,
    faults: list[Fault],
    assumed: list[Said],
) -> tuple[Piece, ...]:
    out: list[Piece] = []
    count = reading.counts["wood"]
    before = 0.0
    for i in range(1, count + 1):
        path = f"wood.{i}"
        start, end = v.get(f"{path}.from"), v.get(f"{path}.to")
        start = before if start is None else start
        if end is None and i < count:
            faults.append(
                Fault(f"{path}.to", "needed: where this wood ends and the next begins", 'write to = "1.20 m"')
            )
            end = start + 1e-3
        end = length if end is None else end
        if abs(start - before) > 1e-6:
            faults.append(
                Fault(f"{path}.from", "does not begin where the wood before it ends", "leave it out, or match them")
            )
        if end <= start:
            faults.append(Fault(f"{path}.to", "not beyond its beginning", "give the woods from the handle end on"))
        if end > length * (1 + 1e-12) or (i == count and abs(end - length) > 1e-6):
            faults.append(
                Fault(f"{path}.to", "the last wood must end at the tip", "leave it out, or write the oar's length")
            )
        wet = v.get(f"{path}.moisture")
        moisture = _MOISTURE[str(v.word("care.kept"))] if wet is None else wet
        wood, notes = _wood(reading, str(v.word(f"{path}.of")), v.word(f"{path}.lacking_values") is not None)
        assumed += notes
        out.append(
            Piece(
                start=number(start),
                end=number(end),
                wood=wood,
                slope=number(v[f"{path}.runout"]),
                moisture=number(moisture),
            )
        )
        before = end
    for a in out[:-1]:
        x = float(a.end)
        joined = any(float(j.start) <= x <= float(j.end) for j in joints)
        cut = isinstance(rig, Hinged) and float(rig.saw) - 1e-9 <= x <= float(rig.restart) + 1e-9
        if not joined and not cut and (joints or not reading.counts["joint"]):
            faults.append(
                Fault(
                    "wood",
                    f"two pieces meet at {sizes.show(x, 'length', reading.system)} and no joint is there",
                    "give a [[joint]] over it",
                )
            )
    return tuple(out)


def _wood(reading: Reading, name: str, estimate: bool) -> tuple[Wood, list[Said]]:
    card = reading.woods[name]
    notes = [said("{wood}: {text}", wood=card.name, text=text) for text in card.assumptions]
    if not estimate:
        return model_wood(card), notes
    wood, estimates = with_estimates(card)
    notes += [
        said(
            "{wood}: {what} ({condition}) estimated by a relation with specific gravity, less its scatter: {lower} "
            "({source})",
            wood=card.name,
            what=e.property,
            condition=e.condition,
            lower=sized(e.value, "stress", "down"),
            source=e.source,
        )
        for e in estimates
    ]
    return wood, notes
