"""What an answer consists of: plain frozen data, sizes in SI. Showing it computes nothing."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Literal

from shaftcheck.beam import Beam
from shaftcheck.border.shaftfile import Reading
from shaftcheck.border.shown import System
from shaftcheck.checks.joint import Note
from shaftcheck.frozen import frozen
from shaftcheck.hinging import Mounted
from shaftcheck.model import Shaft
from shaftcheck.said import Said
from shaftcheck.stowing import Stowed
from shaftcheck.strength import Step
from shaftcheck.studies.needs import Need, needs
from shaftcheck.whole import Gives, Whole

__all__ = ["Advice", "Answer", "CaseLine", "Line", "Measured", "Movement", "Oar", "Option", "Unknown"]


@frozen(kw_only=False)
class Advice:
    """What would make it hold: with all its sizes, and as it can be said aloud."""

    whole: str
    short: str
    anew: str = ""
    """where it asks for another stick: what that would need, as it can be said aloud"""


@frozen(kw_only=False, eq=True)
class Measured:
    """What was measured beside what is computed of the table's wood. Sizes in SI."""

    what: str
    dimension: Literal["mass", "length"]
    told: float
    computed: float


@frozen
class Line:
    """One comparison at its worst. Sizes in SI."""

    check: str
    kind: str
    use: float
    """nan where not known"""
    known: bool
    case: str
    """key of the case; empty where it belongs to none in particular"""
    case_title: str
    when: str
    """the case within a sentence; over a life's strokes where those add up; else empty"""
    x: float
    place: str
    demand: float
    capacity: float
    unit: str
    good_for: float
    """the case's own quantity at which this check is just met"""
    good_for_unit: str
    good_for_words: str
    source: str
    unknown: str
    """what is missing, where it is not known"""

    @property
    def margin(self) -> float:
        """Return 1/use - 1."""
        return 1.0 / self.use - 1.0 if self.use > 0.0 else math.inf

    @property
    def met(self) -> bool:
        """Return whether it is known and met."""
        return self.known and self.use <= 1.0


@frozen
class CaseLine:
    """One load case and what governs it."""

    case: str
    title: str
    check: str
    use: float
    known: bool
    x: float
    place: str
    load: float
    good_for: float
    unit: str
    words: str
    acts: str
    """where the load acts, as it stands behind its size"""
    source: str
    bends: str
    """which face is stretched at the place that governs"""


@frozen
class Movement:
    """How far the blade's middle moves at the greatest single pull [m], and how much of it is shear [-]."""

    clamped: float
    held: float
    shear_share: float
    hand: float
    stiffness: float
    """at the blade's middle, hand held and resting on the lock, or clamped in its cradle; as in use [N/m]"""
    stiffness_dry: float
    """the same at 12 % and straight, or as measured: what the force of a caught blade is taken of [N/m]"""


@frozen
class Oar:
    """One oar, checked: as it stands, or as changed."""

    label: str
    state: str
    sentences: tuple[str, str]
    spoken: tuple[str, str]
    """the same, pulls in one system of units"""
    reading: Reading
    """its inputs as they were understood"""
    shaft: Shaft
    beam: Beam
    """the shaft under its load cases"""
    lines: tuple[Line, ...]
    """worst first; what is not known at the top of its kind"""
    cases: tuple[CaseLine, ...]
    pulls: Mapping[str, float]
    """what it is good for, by stroke [N]"""
    asked: Mapping[str, float]
    """what is asked of it, by stroke [N]"""
    to_break: tuple[float, float, float]
    """single pull at which about half would have broken, its 5 and 95 % marks [N]"""
    gives: Gives
    whole: Whole
    movement: Movement
    ladder: tuple[Step, ...]
    ladder_of: str
    damage: float
    """Miner's sum at the loads as they are, at its worst place"""
    steady_if_a_fifth_lower: float
    """use in steady rowing were the fatigue line a fifth lower"""
    advice: tuple[str, ...]
    """what would make it hold, each tried"""
    notes: tuple[Note, ...]
    """what is told of the joints: marking out, cautions, what is better so"""
    stowed: Stowed
    """its pieces, and whether they go into the locker; the verdict is of strength alone"""
    mounted: Mounted | None
    """what a hinged rig does to its mounting"""
    assumptions: tuple[Said, ...]

    @property
    def needs(self) -> tuple[Need, ...]:
        """Return how much of each size of each joint and cradle meets what hangs on it; looked for when it is asked."""
        return needs(self.shaft, self.beam.own, self.reading.system == "inches")


@frozen
class Option:
    """One thing that may be done with an oar that is to be cut, as it was checked."""

    label: str
    state: str
    once: float
    """what it is good for, once and every stroke [N]"""
    steady: float
    untold: str
    """why no pull can be told, where none can"""
    weakest: Line | None
    mass: float
    """[kg]"""
    words: tuple[Said, ...]
    second: str
    """what it is good for and what would change it, in words"""
    spoken: str
    """the same, pulls in one system of units"""


@frozen
class Unknown:
    """What one unknown input does to the verdict, whatever the others are."""

    path: str
    noun: str
    """what it is called in a sentence"""
    help: str
    words: str
    settles: float
    """part of its values at which the verdict is settled whatever the other unknowns are [-]"""


@frozen
class Answer:
    """All that one shaft file is answered with."""

    name: str
    title: str
    note: str
    system: System
    reading: Reading
    oars: tuple[Oar, ...]
    """as it stands, and as changed where the file tells a change"""
    unknowns: tuple[Unknown, ...]
    unknown_words: str
    measured: tuple[Measured, ...]
    options: tuple[Option, ...]
    """where an oar is to be cut for a hinged rig: that, leaving it whole, and one made for it"""
    cautions: tuple[tuple[str, str], ...]
    not_asked: tuple[str, ...]

    @property
    def state(self) -> str:
        """Return the state of the oar that is asked about: as changed, where there is a change."""
        return self.oars[-1].state
