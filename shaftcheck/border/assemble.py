"""The shaft file, second step: from one value for every entry to the shaft, with the faults of what does not fit."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from contextlib import suppress
from functools import partial
from itertools import pairwise

from shaftcheck.beam import density
from shaftcheck.border.fit import Fits, Values
from shaftcheck.border.flaws import flaws_of
from shaftcheck.border.hints import example, needed
from shaftcheck.border.keys import TABLES
from shaftcheck.border.lockers import locker_of
from shaftcheck.border.rigs import rig_of
from shaftcheck.border.shaftfile import Entry, Reading
from shaftcheck.border.shown import say, show
from shaftcheck.border.stations import STRAIGHT, stations
from shaftcheck.border.wood_cards import model_wood, with_estimates
from shaftcheck.border.woods import find_tube
from shaftcheck.checks import JOINTS
from shaftcheck.checks.joint import Setting
from shaftcheck.checks.plug import PLUG_ENDS, plugged
from shaftcheck.errors import AbsentError, Fault, InputError
from shaftcheck.frozen import frozen
from shaftcheck.key import DIMENSION_OF, Value
from shaftcheck.loads.rowers import rower
from shaftcheck.model import Blade, Duty, Hinged, Joint, Piece, Rig, Shaft, Station, Wood, number
from shaftcheck.said import Said, Size, said, sized
from shaftcheck.sections import hollow
from shaftcheck.stow import Locker

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
    locker: Locker | None
    """what its pieces are to go into"""
    lowered: float = 1.0
    """what of `own` comes from what was measured of the oar [-]"""


def _taken(e: Entry) -> Size | str:
    """Return what is taken for an input that is left out, to be said."""
    dimension = DIMENSION_OF.get(e.key.kind)
    return e.text if dimension is None or e.value is None else sized(float(e.value), dimension)


def assemble(reading: Reading, values: Mapping[str, Value]) -> Built:
    """Return the shaft for one value of every entry.

    Raises
    ------
    InputError
        with every fault of the file: of what can't be read, and of what does not fit.
    """
    v, fits = Values(values, reading.bad), Fits(reading.faults)
    assumed = [said(STRAIGHT)]
    assumed += [said(e.key.why, taken=_taken(e)) for e in reading.entries.values() if e.how == "assumed" and e.key.why]
    sections = stations(reading, v, fits)
    joints = _joints(reading, v, sections, fits)
    rig = rig_of(reading, v, fits)
    unknown = frozenset(e.path for e in reading.entries.values() if e.how == "unknown")
    flaws = flaws_of(v, reading.counts["flaw"], fits, sections, unknown, reading.told)
    pieces = _pieces(reading, v, joints, rig, fits, assumed)
    _blade(reading, v, fits)
    _pulls(reading, v, fits)
    _measured(reading, v, fits)
    locker = locker_of(reading, v, fits, assumed)
    if fits.faults or sections is None or joints is None or rig is None or pieces is None:
        raise InputError(reading.name, tuple(dict.fromkeys(fits.faults)))
    length, neck = v["oar.length"], v["oar.length"] - v["oar.blade_length"]
    rectangle = v["oar.blade_length"] * v["oar.blade_width"]
    area = v.get("oar.blade_area")
    if area is not None:
        area = min(area, rectangle)  # it can't be more
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
    if isinstance(rig, Hinged) and v.get("measured.sag") is not None:
        assumed.append(
            said("the measured sag is compared with nothing: the halves of a hinged rig sag in their cradles")
        )
    told = _told_pulls(v, assumed)
    solid_raiser = number(PLUG_ENDS[v.word("oar.solid_ends") or "square"])
    if v.word("oar.solid_ends") is None and hollow(sections):
        from shaftcheck.checks.ends import solid_ends

        if solid_ends(sections, rig, solid_raiser):
            assumed.append(said(TABLES["oar"]["solid_ends"].why))
    own = v.get("factors.own_divisor") or 1.0
    if own < 1.0:
        assumed.append(said("your own divisor of {own} is laxer than the method", own=f"{own:g}"))
    shaft = Shaft(
        length=number(length),
        stations=plugged(sections, rig),
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
        solid_raiser=solid_raiser,
    )
    return Built(
        shaft=shaft,
        own=own,
        assumptions=tuple(dict.fromkeys(assumed)),
        locker=locker,
    )


_PULLS = {
    "steady": "rower.steady_pull",
    "hard": "rower.hard_pull",
    "start": "rower.start_pull",
    "once": "rower.greatest_pull",
}


def _blade(reading: Reading, v: Values, fits: Fits) -> None:
    area = "oar.blade_area"
    fits.must(
        lambda: (
            v[area] <= v["oar.blade_length"] * v["oar.blade_width"] * 1.001 or reading.entries[area].how == "unknown"
        ),
        area,
        "more than the blade's length times its width",
        "measure one face again",
    )


def _pulls(reading: Reading, v: Values, fits: Fits) -> None:
    """Note where a pull is told to be more than one that is told to be heavier."""
    told = [path for path in _PULLS.values() if path in reading.entries and reading.entries[path].how != "unknown"]
    for light, heavy in pairwise(told):
        fits.must(
            partial(lambda a, b: v[a] <= v[b], light, heavy),
            light,
            f"more than the {heavy.rpartition('.')[2]}, which is the heavier",
            "measure both again",
        )


_SAG = ("sag", "sag_weight", "sag_at", "sag_held")


def _measured(reading: Reading, v: Values, fits: Fits) -> None:
    """Note what lacks of a measured sag, and a place that is not on the oar."""
    keys = TABLES["measured"]
    if any(f"measured.{key}" in reading.entries for key in _SAG):
        for key in _SAG:
            fits.must(
                partial(lambda path: v.word(path) is not None or path in reading.entries, f"measured.{key}"),
                f"measured.{key}",
                f"needed where a sag was measured ({keys[key].help})",
                needed(key, keys[key], reading.told),
            )
    for key in ("balance", "sag_at"):
        fits.must(
            partial(lambda path: (v.get(path) or 0.0) <= v["oar.length"] * (1 + 1e-12), f"measured.{key}"),
            f"measured.{key}",
            "past the tip",
            lambda: f"write at most {show(v['oar.length'], 'length', reading.told, side='down')}",
        )


def _told_pulls(v: Values, assumed: list[Said]) -> dict[str, float]:
    """Return the pulls that are told; one that is less than a lighter one, told or of the class, is raised to it."""
    strength, hands = str(v.word("rower.strength")), str(v.word("rower.hands"))
    of_class = rower(strength, hands, "never", {})
    told: dict[str, float] = {}
    least = 0.0
    for key, path in _PULLS.items():
        pull = v.get(path)
        asked = float(getattr(of_class, key)) if pull is None else pull
        if asked < least:
            words = "{key} taken as {pull}, as of a lighter one: {whose} is less"
            whose = "the class's" if pull is None else "the one that is told"
            assumed.append(said(words, key=path.rpartition(".")[2], pull=sized(least, "force"), whose=whose))
        least = max(asked, least)
        if pull is not None or least > asked:
            told[key] = least
    return told


def _joints(reading: Reading, v: Values, sections: tuple[Station, ...] | None, fits: Fits) -> tuple[Joint, ...] | None:
    """Return the joints; None where one of them has a fault, or lies on what has one."""
    out: list[Joint] = []
    count = reading.counts["joint"]
    length, neck = (_or_none(f) for f in (lambda: v["oar.length"], lambda: v["oar.length"] - v["oar.blade_length"]))
    for i in range(1, count + 1):
        path = f"joint.{i}"
        with suppress(AbsentError):
            kind = JOINTS[v.choice(f"{path}.kind")]
            setting = Setting(
                path=path,
                values={key: v.values[f"{path}.{key}"] for key in kind.keys if f"{path}.{key}" in v.values},
                bad=frozenset(key for key in kind.keys if f"{path}.{key}" in v.bad),
                shaft_stations=sections,
                shaft_length=length,
                shaft_neck=neck,
                faults=fits.faults,
                say=lambda text: say(text, reading.told) if isinstance(text, Said) else example(text, reading.told),
                tubes=_tube,
            )
            joint = kind.build(setting)
            out += [] if joint is None else [joint]
    return tuple(out) if len(out) == count else None


def _or_none(value: Callable[[], float]) -> float | None:
    try:
        return value()
    except AbsentError:
        return None


def _tube(name: str) -> dict[str, float]:
    """Return what is known of a tube material, as "property, direction" [SI]; nan where not known."""
    card = find_tube(name)
    known = {f"{r.property}, {r.direction}": card.value(r.property, r.direction) for r in card.rows}
    return known | {"trust": float(all(r.trust != "low" for r in card.rows if r.taken))}


def _pieces(
    reading: Reading, v: Values, joints: tuple[Joint, ...] | None, rig: Rig | None, fits: Fits, assumed: list[Said]
) -> tuple[Piece, ...] | None:
    """Return the pieces of wood; None where one of them has a fault."""
    count = reading.counts["wood"]
    out: list[Piece] = []
    for i in range(1, count + 1):
        _lies(reading, v, i, count, fits)
        with suppress(AbsentError):
            start, end = _ends(v, i, count)
            wet, kept = v.get(f"wood.{i}.moisture"), _MOISTURE[v.choice("care.kept")]
            if wet is not None and wet < kept:
                words = (
                    "moisture of wood {i} as told, {told}, taken as it is in use and not as in the shop: one kept so "
                )
                words += "comes to {kept}"
                assumed.append(said(words, i=str(i), told=sized(wet, "ratio", "down"), kept=sized(kept, "ratio")))
            estimate = v.word(f"wood.{i}.lacking_values") is not None
            wood, notes = _wood(reading, v.choice(f"wood.{i}.of"), estimate)
            assumed += notes
            out.append(
                Piece(
                    start=number(start),
                    end=number(end),
                    wood=wood,
                    slope=number(v[f"wood.{i}.runout"]),
                    moisture=number(kept if wet is None else wet),
                )
            )
    if joints is not None and rig is not None:
        _joined(reading, v, joints, rig, fits)
    return tuple(out) if len(out) == count else None


def _ends(v: Values, i: int, count: int) -> tuple[float, float]:
    """Return where a piece of wood begins and ends [m]."""
    start, end = v.get(f"wood.{i}.from"), v.get(f"wood.{i}.to")
    if start is None:
        start = 0.0 if i == 1 else v[f"wood.{i - 1}.to"]
    return start, v["oar.length"] if end is None and i == count else v[f"wood.{i}.to"]


def _lies(reading: Reading, v: Values, i: int, count: int, fits: Fits) -> None:
    """Note what is wrong with where a piece of wood lies."""
    to = f"wood.{i}.to"
    fits.must(
        lambda: v.get(to) is not None or i == count,
        to,
        "needed: where this wood ends and the next begins",
        example('write to = "1.20 m"', reading.told),
    )
    fits.must(
        lambda: abs(_ends(v, i, count)[0] - (0.0 if i == 1 else v[f"wood.{i - 1}.to"])) <= 1e-6,
        f"wood.{i}.from",
        "does not begin where the wood before it ends",
        "leave it out, or match them",
    )
    fits.must(
        lambda: _ends(v, i, count)[1] > _ends(v, i, count)[0],
        to,
        "not beyond its beginning",
        "give the woods from the handle end on",
    )
    fits.must(
        lambda: (
            abs(v[to] - v["oar.length"]) <= 1e-6
            if i == count and v.get(to) is not None
            else _ends(v, i, count)[1] <= v["oar.length"] * (1 + 1e-12)
        ),
        to,
        "the last wood must end at the tip",
        "leave it out, or write the oar's length",
    )


def _joined(reading: Reading, v: Values, joints: tuple[Joint, ...], rig: Rig, fits: Fits) -> None:
    """Note where two woods meet and no joint joins them: each meeting has a joint of its own, where that joins."""
    if reading.counts["joint"] and not joints:
        return
    ends_in: dict[int, list[str]] = {}
    for i in range(1, reading.counts["wood"]):
        to = f"wood.{i}.to"
        with suppress(AbsentError):
            x = v[to]
            if isinstance(rig, Hinged) and float(rig.saw) - 1e-9 <= x <= float(rig.restart) + 1e-9:
                continue
            over = [k for k, j in enumerate(joints) if float(j.start) <= x <= float(j.end)]
            if not over:
                wrong = f"two pieces meet at {show(x, 'length', reading.told)} and no joint is there"
                fits.faults.append(Fault("wood", wrong, "give a [[joint]] over it"))
                continue
            joining = [k for k in over if _joins(reading, v, joints[k], k + 1, to)]
            for k in joining:
                ends_in.setdefault(k, []).append(to)
            if not joining:
                fits.faults.append(_beside(reading, joints[over[0]], over[0] + 1, to))
    for k, woods in ends_in.items():
        if len(woods) > 1:
            wrong = f"{' and '.join(woods)} lie in it, and one {joints[k].kind} joins two pieces alone"
            fits.faults.append(Fault(f"joint.{k + 1}", wrong, "give each meeting a [[joint]] of its own"))


_SAME = 5e-10
"""how far apart two places are that are written in two ways [m]; less than what a check steps beside a place"""


def _joins(reading: Reading, v: Values, joint: Joint, n: int, to: str) -> bool:
    """Return whether a joint joins what meets within its length.

    Of a place that is not known all is tried that it may be: there it need only be one at which they may meet.
    """
    meets = JOINTS[joint.kind].meets
    if meets is None:
        return True
    low, high = _span(reading, v, f"joint.{n}.{meets.key}")
    first, last = _span(reading, v, to)
    wide = float(meets.beside(joint)) + _SAME
    return low - wide <= last and first <= high + wide


def _span(reading: Reading, v: Values, path: str) -> tuple[float, float]:
    """Return the least and the greatest that a place may be [m]."""
    tried = [float(o) for o in reading.entries[path].options] or [v[path]]
    return min(tried), max(tried)


def _beside(reading: Reading, joint: Joint, n: int, to: str) -> Fault:
    """Return the fault of woods that are told to meet within a joint's length and away from where it joins them."""
    meets = JOINTS[joint.kind].meets
    place = f"joint.{n}.{meets.key if meets else 'from'}"
    there, told = (reading.entries[path].text for path in (to, place))
    wrong = f"'{there}' is not where the {joint.kind} over it joins two pieces: {place} is '{told}'"
    return Fault(to, wrong, f'write "{told}", or give this meeting a [[joint]] of its own')


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
