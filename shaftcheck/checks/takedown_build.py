"""A takedown joint as a shaft file tells it: its keys, and the joint itself."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace

import numpy as np

from shaftcheck import sections
from shaftcheck.checks.joint import Moved, Setting
from shaftcheck.checks.takedown_material import material
from shaftcheck.checks.takedown_spigot import engaged_flexibility
from shaftcheck.errors import AbsentError
from shaftcheck.frozen import frozen
from shaftcheck.key import Key
from shaftcheck.model import Array, Joint, Shaft, Station, number
from shaftcheck.said import said, sized
from shaftcheck.sections import oval_second_moment

__all__ = ["KEYS", "RAISERS", "Takedown", "build", "least_size", "moved", "placed_keys", "scale", "turned_from"]

RAISERS: dict[str, float] = {"square": 1.5, "tapered": 1.25, "lined": 1.25}
"""what a mouth raises the wood's bending stress by, by how it is made (judgement)"""

FORMS = ("sleeve over both", "tube on the inner half", "tube on the outer half")
MOST_PIN = number(0.4)
"""a pin is at most this much of the wood that it goes through: more leaves two ears and no core (judgement) [-]"""
TENTH = 1e-4
"""what turning true takes: the greatest step that a fit is printed in, a tenth of a mm (by definition) [m]"""
CROSS = ("fore and aft", "up and down")

KEYS: dict[str, Key] = {
    "at": Key(
        kind="length", help="from handle end to where the two halves meet inside the tube", example="1.31 m", high=8.0
    ),
    "form": Key(
        kind="choice",
        help="a sleeve over both halves, or a tube that stays on one half and takes the other half's spigot",
        example="sleeve over both",
        choices=FORMS,
    ),
    "overlap": Key(
        kind="length",
        help="engaged length of ONE half: from its end inside the tube to the tube's mouth; of the spigot, where the "
        "tube stays on one half",
        example="170 mm",
        optional=True,
        low=0.01,
        high=1.5,
    ),
    "fixed_length": Key(
        kind="length",
        help="where the tube stays on one half: how far it reaches onto that half",
        example="170 mm",
        optional=True,
        low=0.01,
        high=1.5,
    ),
    "sleeve_length": Key(
        kind="length",
        help="the whole tube, only to be held against the engaged lengths and the gap",
        example="340 mm",
        optional=True,
        low=0.02,
        high=3.0,
    ),
    "gap": Key(
        kind="length",
        help="between the two wood ends inside the tube",
        example="0 mm",
        assume="0 mm",
        why="the wood ends of a takedown meet inside its tube",
        high=1.0,
        span=("0 mm", "20 mm"),
    ),
    "spigot_size": Key(
        kind="length",
        help="diameter of the wood inside the tube; needed where the tube stays on one half",
        example="38 mm",
        optional=True,
        low=0.008,
        high=0.3,
    ),
    "size_if_not_told": Key(
        kind="choice",
        help="what the wood inside the tube is turned to where spigot_size is not told",
        example="lesser size",
        assume="lesser size",
        why="wood inside a takedown's sleeve whose size is not told is round, and just less than the least size "
        "of the shaft there, so that it can be turned true",
        choices=("lesser size",),
    ),
    "wall": Key(kind="length", help="of the tube", example="1.6 mm", low=0.0003, high=0.02),
    "tube": Key(
        kind="text",
        help="what the tube is of: a name of the table of tubes, temper included",
        example="aluminium 6061-T6",
    ),
    "mouth": Key(
        kind="choice",
        help="edge of the tube: square, tapered thin, or lined with something soft",
        example="tapered",
        choices=tuple(RAISERS),
        ways=("square", "tapered"),
    ),
    "held_by": Key(
        kind="choice",
        help="what keeps each half from pulling out and from turning",
        example="pin",
        choices=("pin", "button", "clamp", "nothing"),
    ),
    "stays_on_by": Key(
        kind="choice",
        help="what keeps the tube on the half that it stays on: the same pins or buttons, or glue alone",
        example="the same",
        assume="the same",
        why="a takedown's tube is pinned to the half that it stays on as it is to the other",
        choices=("the same", "glue"),
    ),
    "pin_diameter": Key(
        kind="length", help="of the pin or of the button's peg", example="6 mm", optional=True, low=0.001, high=0.05
    ),
    "pins": Key(
        kind="count",
        help="in each half, in a row along the shaft",
        example="1",
        assume="1",
        why="where pins or buttons hold a takedown, there is one in each half",
        low=1.0,
        high=6.0,
    ),
    "pin_through": Key(
        kind="choice",
        help="the way that the pin or button runs through the shaft, with the blade upright",
        example="up and down",
        optional=True,
        choices=CROSS,
        ways=CROSS,
    ),
    "pin_stands": Key(
        kind="choice",
        help="at mid-overlap, several in a row along the shaft about it, 4 diameters from one to the next; or anywhere",
        example="mid-overlap",
        assume="anywhere",
        why="a takedown's pins may stand anywhere in the overlap",
        choices=("mid-overlap", "anywhere"),
        ways=("mid-overlap", "anywhere"),
    ),
    "pin_of": Key(
        kind="text",
        help="what the pin is of: a name of the table of tubes",
        example="brass C260, hard",
        assume="stainless steel 304, annealed",
        why="where pins or buttons hold a takedown, they are of stainless steel 304, annealed",
    ),
    "button_depth": Key(
        kind="length",
        help="how deep a button's body stands in the wood; a pin goes right through",
        example="20 mm",
        optional=True,
        low=0.002,
        high=0.2,
    ),
    "clamp_slips_at": Key(
        kind="force",
        help="held by a clamp: the pull along the shaft at which the clamped joint slipped when it was tried",
        example="1200 N",
        optional=True,
        low=10.0,
        high=50000.0,
    ),
    "clearance": Key(
        kind="length",
        help="between wood and tube when the wood is dry (16 % or less), on the diameter",
        example="0.3 mm",
        assume="0.3 mm",
        why="a takedown's dry halves have {taken} of clearance in the tube, on the diameter (judgement)",
        high=0.005,
        span=("0 mm", "1 mm"),
    ),
    "stays_wet": Key(
        kind="choice",
        help="whether wood inside the tube stays wet; sealed ends and a drained tube dry",
        example="no",
        assume="yes",
        why="wood inside a takedown's tube stays wet",
        choices=("yes", "no"),
        ways=("yes", "no"),
    ),
    "plug": Key(
        kind="length",
        help="in a hollow shaft: solid plug of the shaft's wood in each half, from its end, with its inner end tapered",
        example="230 mm",
        optional=True,
        low=0.01,
        high=2.0,
    ),
}


@frozen
class Takedown(Joint):
    """A takedown joint; `start` and `end` are the mouths of its tube."""

    at: Array
    """where the halves meet: the middle of the gap, if there is one [m]"""
    inner: Array
    """engaged length of the inner half [m]"""
    outer: Array
    """engaged length of the outer half [m]"""
    gap: Array
    """[m]"""
    told_size: Array
    """diameter of the wood inside, nan where not told [m]"""
    size: Array
    """diameter of the wood inside [m]"""
    wall: Array
    """[m]"""
    raiser: Array
    """of the mouth [-]"""
    walls: Array
    """walls that a pin goes through: 2 a pin, 1 a button, nan where neither holds [-]"""
    slips: Array
    """pull along the shaft at which a clamped joint slipped when tried [N]; nan where none was"""
    glued: Array
    """1 where the tube stays on its half by glue alone [-]"""
    pin: Array
    """its diameter; nan where none [m]"""
    pins: Array
    """in each half [-]"""
    pin_deep: Array
    """how far it stands in the wood [m]; nan for a pin right through"""
    pin_fore: Array
    """1 where it runs fore and aft, 0 up and down [-]"""
    pin_anywhere: Array
    """1 where it may stand anywhere in the overlap, 0 at its middle, several in a row about it [-]"""
    pin_strength: Array
    """what the pin carries in bending [Pa]"""
    pin_shear: Array
    """what the pin carries in shear [Pa]"""
    clearance: Array
    """dry, on the diameter [m]"""
    wet: Array
    """1 where wood inside stays wet [-]"""
    plug: Array
    """[m]; nan where none is told"""
    strength: Array
    """what the tube carries along [Pa]"""
    strength_across: Array
    """what the tube carries round [Pa]"""
    strength_shear: Array
    """what the tube carries in shear [Pa]"""
    endurance: Array
    """what the tube carries along millions of times [Pa]"""
    modulus: Array
    """for buckling, divided as the strength is [Pa]"""
    density: Array
    """of the tube; nan where not known [kg/m3]"""
    one_half: str
    """the half that the tube stays on, empty for a sleeve over both"""
    tube: str
    fixings: str
    trusted: bool
    """whether no value of the tube is of low trust"""

    @property
    def jumps(self) -> tuple[Array, ...]:
        """Return the wood's ends in the tube [m]; its mouths are the joint's start and end."""
        return self.at - self.gap / 2.0, self.at + self.gap / 2.0

    def flexibility(self, x: Array, modulus: Array, shaft: Array) -> Array:
        """Return 1/EI with the tube alone across the gap, and wood and tube beside it; never less than the shaft's.

        Of a tube whose modulus is not known it is the shaft's: the buckling of its wall is not known then, and said.
        """
        lift = (..., None, None)
        size, e_t = self.size[lift], self.modulus[lift]
        second = oval_second_moment(w=size, d=size)
        outside = size + 2.0 * self.wall[lift]
        tube = oval_second_moment(w=outside, d=outside) - second
        engaged = engaged_flexibility(E_t=e_t, I_t=tube, E=modulus, I=second)
        apart = np.abs(x - self.at[lift]) < self.gap[lift] / 2.0
        within = (x > self.start[lift]) & (x < self.end[lift])
        return np.where(within, np.fmax(shaft, np.where(apart, 1.0 / (e_t * tube), engaged)), shaft)


def least_size(stations: tuple[Station, ...], start: Array, end: Array) -> Array:
    """Return the shaft's least size, either way, from start to end, of the batch shape [m]."""
    steps = np.linspace(0.0, 1.0, 33)
    parts = [(start + (end - start) * t) for t in steps] + [np.clip(s.x, start, end) for s in stations]
    x = np.stack(np.broadcast_arrays(*parts), axis=-1)[..., None, :]
    depth, width, _, _ = sections.at(x, stations)
    least: Array = np.minimum(depth, width).min(axis=-1)[..., 0]
    return least


def turned_from(least: Array) -> Array:
    """Return what wood of a least size is turned to where that is not told [m].

    A tenth of a mm less: printed up to the next tenth, or thousandth of an inch, it is never less than what was checked
    nor more than what is there.
    """
    return least - TENTH


def _lengths(s: Setting) -> tuple[float, float] | None:
    """Return the engaged lengths of the inner and of the outer half."""
    overlap, whole, fixed = (s.size(k) for k in ("overlap", "sleeve_length", "fixed_length"))
    gap, shape = float(s.size("gap") or 0.0), s.word("form")
    if overlap is None:
        wrong = "needed: the engaged length of ONE half"
        if whole is not None:
            wrong = (
                "sleeve_length does not tell the engaged length of ONE half, and a length four times too great "
                "understates the pressure sixteenfold"
            )
        s.fault("overlap", wrong, "measure from one half's end to the tube's mouth; write overlap = \"170 mm\"")
        return None
    if shape == FORMS[0]:
        if fixed is not None:
            s.fault("fixed_length", "a sleeve over both halves engages each by overlap", "leave it out")
            return None
        inner = outer = overlap
    elif fixed is None:
        s.fault("fixed_length", "needed where the tube stays on one half", 'write fixed_length = "170 mm"')
        return None
    else:
        inner, outer = (fixed, overlap) if shape == FORMS[1] else (overlap, fixed)
    if whole is not None and abs(whole - (inner + outer + gap)) > 1e-3:
        s.fault(
            "sleeve_length",
            said("the engaged lengths and the gap come to {sum}", sum=sized(inner + outer + gap)),
            "measure overlap again; wood ends that do not meet leave a gap",
        )
        return None
    return inner, outer


def _told_fits(s: Setting) -> None:
    """Note what lacks in what a takedown is told by, whatever the shaft is."""
    s.must(
        lambda: s.word("form") == FORMS[0] or s.has("spigot_size"),
        "spigot_size",
        "needed where the tube stays on one half",
        'write spigot_size = "38 mm"',
    )
    for key, holders in (
        ("pin_diameter", ("pin", "button")),
        ("pin_through", ("pin", "button")),
        ("button_depth", ("button",)),
    ):
        with suppress(AbsentError):
            held = s.word("held_by")
            if held in holders and not s.has(key):
                ways = " or ".join(f'"{way}"' for way in KEYS[key].choices or (KEYS[key].example,))
                s.fault(key, f"needed where a {held} holds it", f"write {key} = {ways}")
    with suppress(AbsentError):
        held = s.word("held_by")
        if s.has("clamp_slips_at") and held != "clamp":
            s.fault("clamp_slips_at", f"told, and held by {held}", 'write held_by = "clamp", or leave it out')


def build(s: Setting) -> Takedown | None:
    """Return the takedown that a shaft file tells."""
    before = len(s.faults)
    _told_fits(s)
    tube = pin_of = lengths = None
    with suppress(AbsentError):
        tube = material(s, "tube")
    with suppress(AbsentError):
        pin_of = material(s, "pin_of")
    with suppress(AbsentError):
        lengths = _lengths(s)
    at, wall, told = (s.size(k) for k in ("at", "wall", "spigot_size"))
    assert at is not None
    assert wall is not None
    held, shape = s.word("held_by"), s.word("form")
    pinned = held in ("pin", "button")
    slips = s.size("clamp_slips_at")
    if lengths is None or tube is None or pin_of is None or len(s.faults) > before:
        return None
    inner, outer = lengths
    gap = float(s.size("gap") or 0.0)
    start, end = at - gap / 2.0 - inner, at + gap / 2.0 + outer
    if not 0.0 < start < end < s.neck:
        where = "the tube would lie from {a} to {b}, so does not lie between handle end and neck"
        write = said("keep all of it short of {neck}: move it, or make it shorter", neck=sized(s.neck))
        s.fault("at", said(where, a=sized(start), b=sized(end)), write)
        return None
    least = float(least_size(s.stations, number(start), number(end)))
    if told is not None and told > least * (1.0 + 1e-9):
        s.fault(
            "spigot_size",
            said("more than the shaft's least size under the tube, {least}", least=sized(least, side="down")),
            "measure both again; what fills the tube besides the shaft's own wood is outside the method",
        )
    size = float(turned_from(number(least))) if told is None else told
    pin, deep = (s.size(k) for k in ("pin_diameter", "button_depth"))
    if pinned and float(pin or 0.0) > float(MOST_PIN) * size:
        s.fault("pin_diameter", "more than 0.4 of the wood that it goes through", "measure both again")
    if held == "button" and float(deep or 0.0) > size:
        s.fault("button_depth", "deeper than the wood is thick", "measure both again")
    if len(s.faults) > before:
        return None
    nan = float("nan")
    return Takedown(
        kind="takedown",
        start=number(start),
        end=number(end),
        at=number(at),
        inner=number(inner),
        outer=number(outer),
        gap=number(gap),
        told_size=number(nan if told is None else told),
        size=number(size),
        wall=number(wall),
        raiser=number(RAISERS[s.word("mouth")]),
        walls=number({"pin": 2.0, "button": 1.0}.get(held, nan)),
        slips=number(nan if slips is None else slips),
        glued=number(float(s.word("stays_on_by") == "glue")),
        pin=number(float(pin or nan) if pinned else nan),
        pins=number(float(s.size("pins") or 1.0)),
        pin_deep=number(float(deep or nan) if held == "button" else nan),
        pin_fore=number(float(s.word("pin_through") == CROSS[0])),
        pin_anywhere=number(float(s.word("pin_stands") != "mid-overlap")),
        pin_strength=number(pin_of.limits.along),
        pin_shear=number(pin_of.limits.shear),
        clearance=number(float(s.size("clearance") or 0.0)),
        wet=number(float(s.word("stays_wet") == "yes")),
        plug=number(float(s.size("plug") or nan)),
        strength=number(tube.limits.along),
        strength_across=number(tube.limits.across),
        strength_shear=number(tube.limits.shear),
        endurance=number(tube.limits.endurance),
        modulus=number(tube.limits.modulus),
        density=number(tube.density),
        one_half={FORMS[1]: "inner", FORMS[2]: "outer"}.get(shape, ""),
        tube=tube.name,
        fixings=pin_of.name if pinned else "",
        trusted=tube.trusted,
    )


def moved(shaft: Shaft, j: Takedown, at: Array, overlap: Array) -> Moved:
    """Return the joint elsewhere: what it is made of stays, wood whose size is not told is turned to the shaft there.

    A sleeve's overlap is that of each half; where the tube stays on one half, that of the spigot.
    """
    fixed = {"inner": j.inner, "outer": j.outer}
    told = np.isnan(overlap)
    inner, outer = (
        np.where(told | (j.one_half == name), fixed[name] + 0.0 * at, overlap) for name in ("inner", "outer")
    )
    start, end = at - j.gap / 2.0 - inner, at + j.gap / 2.0 + outer
    least = least_size(shaft.stations, start, end)
    size = np.where(np.isnan(j.told_size), turned_from(least), j.told_size)
    barred = (
        ("the tube would reach past the handle's end", ~(start > 0.0)),
        ("the tube would reach into the blade", ~(end < shaft.blade.neck)),
        ("the shaft is thinner there than the wood that goes into the tube", ~(size <= least * (1.0 + 1e-9))),
        ("the pin is more than 0.4 of the wood that it goes through", j.pin > MOST_PIN * size),
        ("the button stands deeper than the wood is thick", j.pin_deep > size),
    )
    ends, far = at - j.gap / 2.0, shaft.length - (at + j.gap / 2.0)
    return Moved(
        joint=replace(j, at=at, inner=inner, outer=outer, start=start, end=end, size=size),
        barred=barred,
        inner=end + 0.0 if j.one_half == "inner" else ends,
        outer=shaft.length - start if j.one_half == "outer" else far,
        apart=True,
    )


def placed_keys(j: Takedown, longer: bool) -> tuple[dict[str, float | str], tuple[str, ...]]:
    """Return the keys that say where a takedown is placed, and its overlap where that is another."""
    overlap = j.outer if j.one_half == "inner" else j.inner
    keys: dict[str, float | str] = {"at": float(j.at.ravel()[0])}
    return (keys | {"overlap": float(overlap.ravel()[0])}, ("sleeve_length",)) if longer else (keys, ())


def scale(shaft: Shaft, j: Takedown, step: float) -> tuple[Array, tuple[str, ...]]:
    """Return overlaps worth trying, from 40 to 400 mm."""
    return np.arange(np.ceil(0.04 / step), np.floor(0.4 / step) + 1.0) * step, ()
