"""What is built: the shaft, its wood, its blade, the rig it works in, and who pulls it.

Inner system, nowhere contradicted: metres, newtons, pascals, kilograms, seconds; ratios as fractions.
x runs from the handle end (0) to the blade tip. *Depth* is the section's size fore and aft with the blade upright,
*width* its size up and down. Forces forward (towards the bow in a stroke of a one-piece oar) and upward are positive;
axial tension is positive.

Every number is an array of one batch shape (...): a single shaft has shape (), a hundred candidates shape (100,).
What a shaft consists of (how many stations, pieces and joints, which rig) is the same for a whole batch.
Objects that hold arrays are equal to themselves alone: arrays have no one answer to 'equal'.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import field, fields, is_dataclass, replace
from typing import Any, Literal, TypeVar

import numpy as np
import numpy.typing as npt

from shaftcheck.frozen import frozen

__all__ = [
    "PROPERTIES",
    "Array",
    "Blade",
    "Bools",
    "Duty",
    "Flaw",
    "Hinged",
    "Joint",
    "OnePiece",
    "Piece",
    "Property",
    "Rig",
    "Rower",
    "Shaft",
    "Station",
    "Values",
    "Wood",
    "map_arrays",
    "number",
    "stack",
]

Array = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]
Property = Literal["bending", "shear", "compression", "bearing", "tension_across", "stiffness"]
PROPERTIES: tuple[Property, ...] = ("bending", "shear", "compression", "bearing", "tension_across", "stiffness")


def number(value: float | Array) -> Array:
    """Return a float, or an array of floats, as an array that the model takes."""
    return np.asarray(value, dtype=np.float64)


@frozen
class Values:
    """One figure for each strength property [Pa], or its coefficient of variation [-]; nan where none is known."""

    bending: Array
    """modulus of rupture"""
    shear: Array
    """shear along the grain"""
    compression: Array
    """crushing along the grain"""
    bearing: Array
    """compression across the grain, at its proportional limit"""
    tension_across: Array
    """tension across the grain"""
    stiffness: Array
    """modulus of elasticity in bending"""


@frozen
class Wood:
    """A wood as the tables have it: means of small clear straight-grained pieces."""

    name: str
    dry: Values
    """means at 12 % moisture [Pa]"""
    green: Values
    """means when green [Pa]"""
    scatter: Values
    """coefficients of variation [-]"""
    hardwood: Array
    """1 for a hardwood, 0 for a softwood [-]"""
    green_at: Array
    """moisture at which drying begins to tell (intersection moisture) [-]"""
    gravity: Array
    """oven-dry mass over volume at 12 %, relative to water [-]"""
    shear_ratio: Array
    """shear modulus over modulus of elasticity, along the grain [-]"""
    least_gravity: Array = field(default_factory=lambda: number(np.inf))
    """the lower printing of gravity, where what a bolt presses hangs on it; infinite where there is but one [-]"""
    measured_stiffness: Array = field(default_factory=lambda: number(np.nan))
    """of the piece in hand at 12 % [Pa], for how far it moves; nan where not measured. No limit rises by it"""
    shrinks_radially: Array = field(default_factory=lambda: number(np.nan))
    """from green to oven-dry, square to the rings [-]; nan where not known"""
    shrinks_tangentially: Array = field(default_factory=lambda: number(np.nan))
    """from green to oven-dry, along the rings [-]; nan where not known"""
    bonding: Array = field(default_factory=lambda: number(np.nan))
    """how it takes glue: 0 easily, 1 well, 2 satisfactorily, 3 with difficulty [-]; nan where no list names it"""


@frozen
class Station:
    """The section at one place."""

    x: Array
    """distance from the handle end [m]"""
    depth: Array
    """fore-and-aft size with the blade upright [m]"""
    width: Array
    """up-and-down size with the blade upright [m]"""
    exponent: Array
    """2 for a round or an oval, above 2 for a superoval, infinite for a rectangle [-]"""
    wall: Array
    """thickness of an even wall [m]; infinite where the section is solid"""


@frozen
class Piece:
    """A length of one wood."""

    start: Array
    """[m]"""
    end: Array
    """[m]"""
    wood: Wood
    slope: Array
    """run-out of the grain, rise over run [-]"""
    moisture: Array
    """moisture in use [-]"""


@frozen
class Joint:
    """A joint that is known to be there: its kind and the length it takes up."""

    kind: str
    start: Array
    """[m]"""
    end: Array
    """[m]"""

    @property
    def jumps(self) -> tuple[Array, ...]:
        """Return the places within it where its flexibility jumps, of the batch shape [m]; none."""
        return ()

    def flexibility(self, x: Array, modulus: Array, shaft: Array) -> Array:
        """Return 1/EI with the joint in the shaft, of the shape of x (..., 1, points): as of the shaft [1/(N m2)].

        Parameters
        ----------
        modulus : of the wood at x, for buckling [Pa]
        shaft : 1/EI of the shaft at x, as its sections tell it [1/(N m2)]
        """
        return shaft


@frozen
class Flaw:
    """Something wrong with the piece in hand, or sitting on it."""

    kind: str
    face: str
    """forward, aft, upper, lower or all round; empty where not told"""
    start: Array
    """[m]"""
    end: Array
    """[m]"""
    width: Array
    """across the grain, all holes of one row together; of a knot, its size [m]; nan where not told"""
    depth: Array
    """into the wood [m]; nan where not told"""


@frozen
class Blade:
    """The blade, as far as it loads the shaft."""

    neck: Array
    """where the blade begins [m]"""
    tip: Array
    """[m]"""
    area: Array
    """one face [m2]"""
    width: Array
    """[m]"""
    off_axis: Array
    """how far the water's force may stand off the shaft's axis [m]"""
    mass: Array
    """of all that is beyond the neck [kg]"""

    @property
    def centre(self) -> Array:
        """Return where the water's force is taken for strength: a third of the blade from its tip [m]."""
        return self.tip - (self.tip - self.neck) / 3.0

    @property
    def centroid(self) -> Array:
        """Return where the water's force is taken for forces in the hand: mid-blade [m]."""
        return (self.tip + self.neck) / 2.0


@frozen
class OnePiece:
    """An oar in a lock."""

    hand: Array
    """centre of the grip [m]"""
    lock: Array
    """centre of the lock [m]"""
    contact: Array
    """length over which the lock spreads its force in bending [m]; 0 for a point"""
    seat: Array
    """length of shaft that the lock presses [m]"""
    wet: Array
    """1 where what lies between lock and shaft stays wet, 0 where it dries [-]"""


@frozen
class Hinged:
    """Two half shafts, each clamped in its own cradle on its own upright pin, coupled to swing in opposition."""

    hand: Array
    """centre of the grip [m]"""
    saw: Array
    """where the inner half ends [m]"""
    restart: Array
    """where the outer half begins: saw plus kerf [m]"""
    inner_pin: Array
    """along the inner half's axis, measured as x [m]"""
    inner_from: Array
    inner_to: Array
    """what the inner cradle clamps [m]"""
    outer_pin: Array
    """along the outer half's axis, measured as x [m]"""
    outer_from: Array
    outer_to: Array
    """what the outer cradle clamps [m]"""
    ratio: Array
    """swing of the blade half over swing of the hand half [-]"""
    spacing: Array
    """from pin to pin [m]"""
    wet: Array
    """1 where wood in a cradle stays wet, 0 where it dries [-]"""
    clamp: Array
    """force with which each cradle squeezes, standing [N]"""
    wraps: Array
    """1 where each seat wraps a quarter of the shaft or more, 0 where seats are flat or narrow [-]"""
    liner: Array
    """thickness of what lines the cradles [m]"""
    liner_stiffness: Array
    """its modulus of elasticity [Pa]"""
    bolted_through: Array
    """1 where a bolt goes through the shaft, 0 where all pass beside it [-]"""
    link_on_shaft: Array
    """1 where the link is fixed to the shaft itself, 0 where to the cradle [-]"""
    link_arm: Array = field(default_factory=lambda: number(np.nan))
    """from the inner pin square to the line of the link's force [m]; nan where not known"""
    bolt: Array = field(default_factory=lambda: number(np.nan))
    """diameter of a bolt through each half [m]; nan where there is none, or where it is not known"""
    bolt_fore: Array = field(default_factory=lambda: number(np.nan))
    """1 where these bolts run fore and aft, 0 where up and down [-]"""
    inner_bolt: Array = field(default_factory=lambda: number(np.nan))
    """where the inner half's bolt stands [m]"""
    outer_bolt: Array = field(default_factory=lambda: number(np.nan))
    """where the outer half's stands [m]"""
    inner_plug: Array = field(default_factory=lambda: number(np.nan))
    """where a solid plug in the inner half ends inside it [m]; nan where there is none"""
    outer_plug: Array = field(default_factory=lambda: number(np.nan))
    """where a solid plug in the outer half ends inside it [m]"""
    plug_raiser: Array = field(default_factory=lambda: number(np.nan))
    """what the plugs' ends raise the bending stress by [-]"""


Rig = OnePiece | Hinged


@frozen
class Rower:
    """What one oar's handle is pulled with [N], at the hand, square to the shaft."""

    steady: Array
    hard: Array
    start: Array
    once: Array
    """greatest single pull"""
    back: Array
    """backing and holding water"""
    push: Array
    """along the shaft, pushing off"""
    lever: Array
    """sideways at the hand, the oar used as a lever"""


@frozen
class Duty:
    """What the oar is put through besides the pull."""

    speed: Array
    """of the boat when a blade is caught [m/s]"""
    mass: Array
    """boat and crew [kg]; infinite where not told"""
    handle_free: Array
    """1 where a caught handle can leave the hands, 0 where it can't [-]"""
    strokes: Array
    """in the oar's life [-]"""


@frozen
class Shaft:
    """One shaft, or a batch of shafts of one make-up, with its rig, rower and duty."""

    length: Array
    """[m]"""
    stations: tuple[Station, ...]
    pieces: tuple[Piece, ...]
    joints: tuple[Joint, ...]
    blade: Blade
    rig: Rig
    rower: Rower
    duty: Duty
    flaws: tuple[Flaw, ...] = ()
    timber: Array = field(default_factory=lambda: number(1.0))
    """1 where it is of timber, 0 where it is a tube of laminate or metal [-]"""
    solid_raiser: Array = field(default_factory=lambda: number(1.5))
    """what the end of solid wood inside a hollow shaft raises the bending stress by: square, the worse [-]"""


T = TypeVar("T")


def map_arrays(fn: Callable[..., Array], first: T, *rest: T) -> T:
    """Apply `fn` to every array of a model object, in step with the same arrays of the others.

    Raises
    ------
    ValueError
        if the objects do not have the same make-up.
    """
    if isinstance(first, np.ndarray | np.number):  # one element of an array is a number of numpy's own
        return fn(first, *rest)  # type: ignore[return-value]
    if isinstance(first, tuple):
        if any(not isinstance(r, tuple) or len(r) != len(first) for r in rest):
            raise ValueError("not of one make-up: the number of parts differs")
        return tuple(map_arrays(fn, *items) for items in zip(first, *rest, strict=True))  # type: ignore[return-value]
    if is_dataclass(first) and not isinstance(first, type):
        if any(type(r) is not type(first) for r in rest):
            raise ValueError("not of one make-up: the kinds differ")
        new: dict[str, Any] = {
            f.name: map_arrays(fn, getattr(first, f.name), *(getattr(r, f.name) for r in rest)) for f in fields(first)
        }
        return replace(first, **new)
    return first


def stack(items: Sequence[T]) -> T:
    """Return model objects of one make-up as one batch: their arrays stacked on a new first axis.

    Names and other texts are those of the first.
    """
    return map_arrays(lambda *a: np.stack(np.broadcast_arrays(*a)), *items)
