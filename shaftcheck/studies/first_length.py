"""A first length for a pair of oars from the width between the locks, and the forces that its levers bring.

All rules and kinds of blade here are common practice, no source: they disagree, and are shown side by side.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from shaftcheck.beam import Beam
from shaftcheck.frozen import frozen
from shaftcheck.model import Array, OnePiece, number

__all__ = ["BLADES", "PLACES", "RULES", "Kind", "Levers", "Rule", "levers"]

_TWO_INCHES = 0.0508
"""two inches [m] (by definition)"""
PLACES = (0.28, 0.31)
"""where locks sit, over the oar's length (common practice, no source)"""


@frozen
class Rule:
    """One rule of the trade: length and place of the lock from the width between the locks."""

    name: str
    says: str
    """with what is added to the inboard as {more}"""
    of_width: float
    """inboard over the width between the locks [-]"""
    more: float
    """added to the inboard [m]"""
    part: float
    """inboard over the oar's length [-]"""

    def inboard(self, width: float) -> float:
        """Return the length from handle end to lock [m]."""
        return width * self.of_width + self.more

    def length(self, width: float) -> float:
        """Return the oar's length [m]."""
        return self.inboard(width) / self.part


RULES: tuple[Rule, ...] = (
    Rule(
        name="seven in twenty-five",
        says="inboard half the width and {more} more, which is 7/25 of the oar",
        of_width=0.5,
        more=_TWO_INCHES,
        part=7.0 / 25.0,
    ),
    Rule(
        name="two in seven",
        says="inboard half the width, which is 2/7 of the oar",
        of_width=0.5,
        more=0.0,
        part=2.0 / 7.0,
    ),
    Rule(
        name="short of twice the width",
        says="the oar 1.95 times the width, the lock midway between 28 and 31 % of it",
        of_width=1.95 * 0.295,
        more=0.0,
        part=0.295,
    ),
    Rule(
        name="easy on the hands",
        says="inboard half the width and {more} more, which is 31 % of the oar",
        of_width=0.5,
        more=_TWO_INCHES,
        part=PLACES[1],
    ),
)


@frozen
class Kind:
    """A kind of blade."""

    name: str
    suits: str
    water: str
    """the duty it is for, as it is asked"""
    length: float
    """[m]"""
    width: float
    """[m]"""
    full: float
    """area over length times width [-]"""

    @property
    def area(self) -> float:
        """Return one face's area [m2]."""
        return self.length * self.width * self.full


BLADES: tuple[Kind, ...] = (
    Kind(
        name="long and narrow",
        suits="open water and wind, hour after hour: clears a wave, feathers lightly, slips before it hurts",
        water="open",
        length=0.70,
        width=0.11,
        full=0.80,
    ),
    Kind(
        name="middling",
        suits="a bit of everything",
        water="mixed",
        length=0.60,
        width=0.135,
        full=0.80,
    ),
    Kind(
        name="short and broad",
        suits="sheltered water and short hard rowing: bites at once, and holds when it is caught",
        water="sheltered",
        length=0.50,
        width=0.18,
        full=0.84,
    ),
)


@frozen
class Levers:
    """What the levers bring, arrays (n,)."""

    inboard: Array
    """hand to lock [m]"""
    outboard: Array
    """lock to mid-blade [m]"""
    blade: Array
    """force on the blade at the greatest pull [N]"""
    lock: Array
    """force on the lock then [N]"""
    moment: Array
    """bending at the lock then [N m]"""
    twist: Array
    """twist of the shaft then [N m]"""
    caught: Array
    """force of the water on a caught blade [N]"""
    caught_moment: Array
    """bending at the lock then [N m]"""


def levers(beam: Beam) -> Levers:
    """Return levers and forces of a batch of oars in a lock, (n,)."""
    rig, blade = beam.shaft.rig, beam.shaft.blade
    assert isinstance(rig, OnePiece)
    once, caught = beam.case("once"), beam.case("caught")
    cut = beam.at(rig.lock[..., None, None])
    at_blade = beam.forward[..., beam.places.index("blade")]
    seat = beam.cases[once].seat
    return Levers(
        inboard=rig.lock - rig.hand,
        outboard=blade.centroid - rig.lock,
        blade=np.abs(at_blade[..., once]),
        lock=np.abs(number(seat)) + 0.0 * rig.lock,
        moment=np.abs(cut.moment_stroke[..., once, 0]),
        twist=np.abs(beam.torque[..., once, :]).max(axis=-1),
        caught=np.abs(at_blade[..., caught]),
        caught_moment=np.abs(cut.moment_stroke[..., caught, 0]),
    )


def rounded(values: Sequence[float], step: float) -> list[float]:
    """Return sizes to the nearest step [m]."""
    return [round(v / step) * step for v in values]
