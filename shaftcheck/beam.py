"""The beam: a function of x that gives the section, the wood and the actions at any place along the shaft.

Axes: the last is points along the shaft, before it load cases, all before that is batch. Forces act at named places
that a batch shares by name and not by position, so that shear and moment are matrix products of the cases' forces
with what a unit force at each place does:

    V(x) = sum of all forces left of x          M(x) = sum of force times distance, left of x, less couples

Both ends close by equilibrium, so one rule serves the whole shaft and each half of a hinged one. M > 0 stretches the
aft face (bending fore and aft) or the lower face (bending up and down). N > 0 pulls.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field, replace
from functools import cache
from typing import Any

import numpy as np

from shaftcheck import sections
from shaftcheck.frozen import frozen
from shaftcheck.gauss import gauss
from shaftcheck.model import Array, OnePiece, Piece, Shaft, number
from shaftcheck.sections import Section
from shaftcheck.strength import LIMITS, Limit, Setting, limit, piece_setting
from shaftcheck.trace import Sym, blank, constant, is_listening, known, named, quiet, solved
from shaftcheck.wood_relations import WATER, density_at

__all__ = [
    "GRAVITY",
    "PER_MASS",
    "POINT",
    "Beam",
    "Case",
    "Cut",
    "Force",
    "build",
    "density",
    "mesh",
    "panels",
    "per_piece",
    "settings",
    "symbols",
    "weight",
]

GRAVITY = 9.80665
"""standard gravity [m/s2], third general conference on weights and measures (1901)"""
PER_MASS = constant(
    GRAVITY, Sym("g", "m/s**2", "standard gravity"), "third general conference on weights and measures (1901)"
)
"""the same as an array that a listener knows"""
POINT = 1e-12
"""length that stands for a point [m]; shorter than a nudge, so that no mesh point stands inside it"""
NUDGE = 1e-9
"""how far a panel's end points stand inside it, in panels: so that each point has one wood and one section"""


@frozen
class Force:
    """What acts at one named place: forces [N] and couples [N m], each of the batch shape."""

    place: str
    forward: Array = field(default_factory=lambda: number(0.0))
    up: Array = field(default_factory=lambda: number(0.0))
    along: Array = field(default_factory=lambda: number(0.0))
    """towards the tip"""
    couple_forward: Array = field(default_factory=lambda: number(0.0))
    """spread over the place's length, as a line load of no resultant"""
    couple_up: Array = field(default_factory=lambda: number(0.0))
    torque: Array = field(default_factory=lambda: number(0.0))


@frozen
class Case:
    """One load case: all the forces of it, in equilibrium, and how long and how often it acts."""

    key: str
    title: str
    forces: tuple[Force, ...]
    seconds: Array
    """time near the peak, of this case and all heavier ones [s]"""
    cycles: Array
    """of this case and all heavier ones; 1 where too few to count [-]"""
    share: Array
    """cycles of this case alone, for adding up damage [-]"""
    reversed_end: Array
    """end point of the fatigue line [-]"""
    repeated: bool
    source: str
    seat: Array
    """force on the lock or at a cradle's pin with the water's at mid-blade [N]; nan where there is no water's force"""
    pull: Array
    """what the hand pulls with in this case [N]; nan where the case is no pull"""
    driver: Array
    """the quantity that the case is stated in, for saying what it is good for"""
    driver_unit: str
    driver_words: str
    driver_acts: str = ""
    """where it acts, as it stands behind its size; empty where its unit says so"""
    when: str = ""
    """the case within a sentence: under it, or when it is done; 'under' its title where it is not told"""
    weight_factor: float = 1.0
    """what the oar's own weight is multiplied by"""
    weight_is_load: bool = False
    """whether the weight is what this case is about (scaled) or permanent (not scaled)"""
    column: tuple[str, str] | None = None
    """the two places between which the shaft is pressed as a column pinned at both"""
    mid: Array = field(default_factory=lambda: number(1.0))
    """how much greater the water's force is at mid-blade than where it is taken for bending [-]"""


@frozen
class Cut:
    """What there is at the points x: section, wood and actions."""

    x: Array
    """(..., 1, points) [m]"""
    section: Section
    """arrays (..., 1, points)"""
    piece: npt_int
    """(..., 1, points) which piece of wood"""
    forward: Array
    """(..., cases, points) shear force fore and aft, variable [N]"""
    up: Array
    moment_stroke: Array
    """(..., cases, points) bending fore and aft, variable [N m]"""
    moment_flat: Array
    """(..., cases, points) bending up and down, variable [N m]"""
    axial: Array
    torque: Array
    still_up: Array
    """(..., cases, points) shear force up and down of the weight, permanent [N]"""
    still_flat: Array
    """(..., cases, points) bending up and down of the weight, permanent [N m]"""
    _limits: Mapping[str, Array]

    def limit(self, name: Limit) -> Array:
        """Return the wood's design limit at each point and case, (..., cases, points) [Pa]."""
        return self.pick(self._limits[name])

    def pick(self, per_piece: Array) -> Array:
        """Return a value of each piece, (..., cases, pieces), at the points: (..., cases, points)."""
        if per_piece.shape[-1] == 1:
            return per_piece + 0.0 * self.x
        shape = np.broadcast_shapes(per_piece.shape[:-1], self.piece.shape[:-1])
        values = np.broadcast_to(per_piece, (*shape, per_piece.shape[-1]))
        index = np.broadcast_to(self.piece, (*shape, self.piece.shape[-1]))
        return np.take_along_axis(values, index, axis=-1)


_LEFT = "equilibrium of all that is left of x (by definition)"
_SHEAR_STROKE = Sym("V_s", "N", "shear force fore and aft")
_SHEAR_FLAT = Sym("V_f", "N", "shear force up and down")
_MOMENT_STROKE = Sym("M_s", "N*m", "bending moment fore and aft")
_MOMENT_FLAT = Sym("M_f", "N*m", "bending moment up and down")
_AXIAL = Sym("N_x", "N", "force along the shaft, pulling")
_TORQUE = Sym("T_x", "N*m", "torque")
_STILL_SHEAR = Sym("V_w", "N", "shear force up and down of the oar's own weight")
_STILL_MOMENT = Sym("M_w", "N*m", "bending moment up and down of the oar's own weight")

npt_int = np.ndarray[tuple[int, ...], np.dtype[np.intp]]


@frozen
class Beam:
    """A shaft under its load cases; one is equal to itself alone."""

    shaft: Shaft
    cases: tuple[Case, ...]
    places: tuple[str, ...]
    centre: Array
    """(..., places) [m]"""
    spread: Array
    """(..., places) length over which a force at the place is spread [m]"""
    forward: Array
    """(..., cases, places) [N]"""
    up: Array
    along: Array
    couple_forward: Array
    couple_up: Array
    torque: Array
    still_up: Array
    still_couple: Array
    own: Array
    """what the user divides each limit by [-]"""
    limits: Mapping[str, Array]
    """by limit: (..., cases, pieces) [Pa]"""
    friction: Array | None = None
    """of wood in the seats of its cradles, of the batch shape [-]; the one to work to where it is not given"""

    def at(self, x: Array) -> Cut:
        """Return what there is at x, of shape (..., 1, points) [m]."""
        section = sections.properties(*np.broadcast_arrays(*sections.at(x, self.shaft.stations)))
        piece = np.zeros(x.shape, dtype=np.intp)
        for later in self.shaft.pieces[1:]:
            piece = piece + (x >= later.start[..., None, None])
        u = x - self.centre[..., None]
        length = self.spread[..., None]
        s = np.clip(u / length + 0.5, 0.0, 1.0)
        lever = length * s * s / 2.0 + np.maximum(u - length / 2.0, 0.0)
        couples = bool(np.any(self.couple_forward) or np.any(self.couple_up) or np.any(self.still_couple))
        e = np.clip(2.0 * u / length, -1.0, 1.0)
        couple_shear = np.where(length > 1e-6, 1.5 / length * (e * e - 1.0), 0.0) if couples else s  # a point has none
        couple_lever = (e * e * e - 3.0 * e - 2.0) / 4.0 if couples else s

        def shear(force: Array, couple: Array) -> Array:
            return force @ s + couple @ couple_shear if couples else force @ s

        def moment(force: Array, couple: Array) -> Array:
            return force @ lever + couple @ couple_lever if couples else force @ lever

        return Cut(
            x=x,
            section=section,
            piece=piece,
            forward=named(shear(self.forward, self.couple_forward), _SHEAR_STROKE, _LEFT),
            up=named(shear(self.up, self.couple_up), _SHEAR_FLAT, _LEFT),
            moment_stroke=named(moment(self.forward, self.couple_forward), _MOMENT_STROKE, _LEFT),
            moment_flat=named(moment(self.up, self.couple_up), _MOMENT_FLAT, _LEFT),
            axial=named(-(self.along @ s), _AXIAL, _LEFT),
            torque=named(-(self.torque @ s), _TORQUE, _LEFT),
            still_up=named(shear(self.still_up, self.still_couple), _STILL_SHEAR, _LEFT),
            still_flat=named(moment(self.still_up, self.still_couple), _STILL_MOMENT, _LEFT),
            _limits=self.limits,
        )

    def place(self, name: str) -> Array:
        """Return where a named place is [m], of the batch shape."""
        return self.centre[..., self.places.index(name)]

    def case(self, key: str) -> int:
        """Return the index of a case."""
        return [c.key for c in self.cases].index(key)


def events(shaft: Shaft) -> list[Array]:
    """Return all places where the shaft or its loads change, in any order [m]."""
    rig = shaft.rig
    out = [s.x for s in shaft.stations] + [p.start for p in shaft.pieces] + [p.end for p in shaft.pieces]
    out += [e for j in shaft.joints for e in (j.start, j.end)] + [shaft.blade.neck, shaft.blade.centre, rig.hand]
    if isinstance(rig, OnePiece):
        half, seat = rig.contact / 2.0, rig.seat / 2.0
        out += [rig.lock - half, rig.lock, rig.lock + half, rig.lock - seat, rig.lock + seat]
    else:
        out += [rig.inner_from, rig.inner_to, rig.saw, rig.restart, rig.outer_from, rig.outer_to]
        out += [(rig.inner_from + rig.inner_to) / 2.0, (rig.outer_from + rig.outer_to) / 2.0]
    return out


def panels(shaft: Shaft) -> Array:
    """Return the sorted events between the first and the last station, (..., events) [m]."""
    first, last = shaft.stations[0].x, shaft.stations[-1].x
    e = np.stack(np.broadcast_arrays(*events(shaft)), axis=-1)
    return np.sort(np.clip(e, first[..., None], last[..., None]), axis=-1)


def mesh(shaft: Shaft, n: int = 9) -> Array:
    """Return points in every panel between events, (..., 1, points) [m]; panels of no length are harmless."""
    e = panels(shaft)
    t = np.linspace(NUDGE, 1.0 - NUDGE, n)
    p = e[..., :-1, None] + (e[..., 1:, None] - e[..., :-1, None]) * t
    return p.reshape(*p.shape[:-2], 1, -1)


def density(piece: Piece) -> Array:
    """Return the wood's density at its moisture in use [kg/m3]."""
    return density_at(gravity=piece.wood.gravity, moisture=piece.moisture, water=WATER)


_GAUSS, _GAUSS_W = gauss(6)


def line_mass(shaft: Shaft, x: Array) -> Array:
    """Return the mass per length at x, of x's shape (..., 1, points) [kg/m]; beyond the neck it is the blade's."""
    section = sections.properties(*np.broadcast_arrays(*sections.at(x, shaft.stations)))
    rho = density(shaft.pieces[0])[..., None, None] + 0.0 * x
    for piece in shaft.pieces[1:]:
        rho = np.where(x >= piece.start[..., None, None], density(piece)[..., None, None], rho)
    mass = np.where(x > shaft.blade.neck[..., None, None], 0.0, section.area * rho)
    if not isinstance(shaft.rig, OnePiece):
        gone = (x > shaft.rig.saw[..., None, None]) & (x < shaft.rig.restart[..., None, None])
        mass = np.where(gone, 0.0, mass)
    return mass


_FROM = Sym("x_a", "m", "from the handle end to where the stretch begins")
_TO = Sym("x_b", "m", "from the handle end to where the stretch ends")
_MASS = Sym("m", "kg", "mass of a stretch of the shaft")
_FIRST = Sym("q", "kg*m", "first moment of the mass of a stretch about its middle")
_WEIGHED = "area times the wood's density, integrated over the stretch"


def weight(shaft: Shaft) -> tuple[Array, Array, Array]:
    """Return each panel's ends and the mass and first moment of mass between them.

    Returns
    -------
    ends : (..., panels + 1) [m]
    mass : (..., panels) [kg]
    first : (..., panels) - about the panel's middle [kg m]
    """
    e = panels(shaft)
    with quiet():
        half, middle = (e[..., 1:] - e[..., :-1]) / 2.0, (e[..., 1:] + e[..., :-1]) / 2.0
        x = middle[..., None] + half[..., None] * _GAUSS
        m = line_mass(shaft, x.reshape(*x.shape[:-2], 1, -1)).reshape(x.shape) * half[..., None] * _GAUSS_W
        mass, first = m.sum(axis=-1), (m * (x - middle[..., None])).sum(axis=-1)
    inputs = {_FROM: e[..., :-1], _TO: e[..., 1:]}
    mass, first = (
        solved(v, s, _WEIGHED, "by definition", inputs, many=True) for v, s in ((mass, _MASS), (first, _FIRST))
    )
    return e, mass, first


_SHORT = {"hand": "h", "blade": "b", "tip": "t", "lock": "l", "inner cradle": "i", "outer cradle": "o"}


@cache
def symbols(place: str) -> tuple[Sym, ...]:
    """Return the symbols of what acts at a place: forward, up, along, both couples, torque."""
    if place.startswith("weight "):
        push = Sym("G", "N", "weight of a stretch of the shaft, upward")
        couple = Sym("G_c", "N*m", "weight of a stretch of the shaft, off its middle")
        return push, push, push, couple, couple, couple
    s = _SHORT.get(place, "".join(word[0] for word in place.split()))
    return (
        Sym(f"F_{s}", "N", f"force at the {place}, forward"),
        Sym(f"Z_{s}", "N", f"force at the {place}, upward"),
        Sym(f"N_{s}", "N", f"force at the {place}, towards the tip"),
        Sym(f"C_{s}", "N*m", f"couple at the {place}, fore and aft"),
        Sym(f"K_{s}", "N*m", f"couple at the {place}, up and down"),
        Sym(f"T_{s}", "N*m", f"torque at the {place}"),
    )


_OF_A_CASE = {
    "seconds": Sym("t", "s", "time near the peak, of this case and all heavier ones"),
    "cycles": Sym("N", "", "cycles of this case and all heavier ones"),
    "share": Sym("n", "", "cycles of this case alone"),
    "reversed_end": Sym("k_e", "", "strength left at the fatigue line's end point"),
}


def _known(case: Case) -> Case:
    """Return a case whose numbers bear their names, for a listener."""
    new: dict[str, Any] = {k: known(getattr(case, k), sym, case.source) for k, sym in _OF_A_CASE.items()}
    return replace(case, **new)


def settings(shaft: Shaft, cases: Sequence[Case], own: Array) -> list[Setting]:
    """Return what the limits of each piece of wood hang on, each with the cases as last axis: (..., cases)."""

    def per_case(values: list[Array]) -> Array:
        return np.stack(np.broadcast_arrays(*values), axis=-1)

    return [
        piece_setting(
            piece,
            seconds=per_case([c.seconds for c in cases]),
            cycles=per_case([c.cycles for c in cases]),
            reversed_end=per_case([c.reversed_end for c in cases]),
            repeated=per_case([number(c.repeated) for c in cases]),
            own=own[..., None],
        )
        for piece in shaft.pieces
    ]


def per_piece(each: Sequence[Array]) -> Array:
    """Return values of each piece, (..., cases), as one array (..., cases, pieces)."""
    shape = np.broadcast_shapes(*(v.shape for v in each))
    return np.stack([np.broadcast_to(v, shape) for v in each], -1)


def build(
    shaft: Shaft,
    cases: Sequence[Case],
    places: Mapping[str, tuple[Array, Array]],
    still: Iterable[Force],
    own: Array,
) -> Beam:
    """Return the beam: every force set in its row and column, the limits of every piece for every case.

    Parameters
    ----------
    cases : the load cases; their forces name the places
    places : by name: centre and spread, each of the batch shape [m]
    still : forces of the oar's own weight with what carries it
    own : what the user divides each limit by [-]
    """
    if is_listening():
        cases = [_known(c) for c in cases]
    names = tuple(places)
    column = {name: i for i, name in enumerate(names)}
    still = tuple(still)
    parts = [v for f in (*still, *(f for c in cases for f in c.forces)) for v in (f.forward, f.up, f.along)]
    batch = np.broadcast_shapes(*(np.shape(v) for pair in places.values() for v in pair), *(np.shape(v) for v in parts))

    shape = (*batch, len(cases), len(names))
    forward, up, along, couple_forward, couple_up, torque = (blank(shape) for _ in range(6))
    still_up, still_couple = blank(shape), blank(shape)
    for i, case in enumerate(cases):
        for f in case.forces:
            j = column[f.place]
            for array, value, sym in zip(
                (forward, up, along, couple_forward, couple_up, torque),
                (f.forward, f.up, f.along, f.couple_forward, f.couple_up, f.torque),
                symbols(f.place),
                strict=True,
            ):
                array[..., i, j] += named(value, sym)
        for f in still:
            j = column[f.place]
            _, push, _, _, couple, _ = symbols(f.place)
            a, b = (up, couple_up) if case.weight_is_load else (still_up, still_couple)
            a[..., i, j] += named(f.up, push) * case.weight_factor
            b[..., i, j] += named(f.couple_up, couple) * case.weight_factor
    centre = np.stack([np.broadcast_to(c, batch) for c, _ in places.values()], axis=-1)
    spread = np.stack([np.broadcast_to(np.maximum(s, POINT), batch) for _, s in places.values()], axis=-1)

    found = settings(shaft, cases, own)
    limits: dict[str, Array] = {name: per_piece([limit(name, s) for s in found]) for name in LIMITS}
    return Beam(
        shaft=shaft,
        cases=tuple(cases),
        places=names,
        centre=centre,
        spread=spread,
        forward=forward,
        up=up,
        along=along,
        couple_forward=couple_forward,
        couple_up=couple_up,
        torque=torque,
        still_up=still_up,
        still_couple=still_couple,
        own=own,
        limits=limits,
    )
