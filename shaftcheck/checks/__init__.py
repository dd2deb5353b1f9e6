"""Checks. One thing in one place: a new check is a new file and its line in `CHECKS`, a new joint one in `JOINTS`.

A check is given the beam and the cut at the mesh's points and yields comparisons; it may ask the beam for other
points of its own. `declared` names what the result of a shaft must hold, so that a check that yields nothing is
noticed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks import flaw
from shaftcheck.checks.column import pressed
from shaftcheck.checks.compare import Use
from shaftcheck.checks.joint import Kinds, Note, imported
from shaftcheck.checks.lock import lock
from shaftcheck.checks.member import bending, damage, shear
from shaftcheck.model import OnePiece, Shaft
from shaftcheck.sections import changes_at_once, hollow

__all__ = ["ALWAYS", "CHECKS", "CRADLES", "JOINTS", "Check", "declared", "notes"]

Check = Callable[[Beam, Cut], Iterator[Use]]

FLAWS = flaw.KINDS
"""kinds of flaw that a shaft file may tell"""
JOINTS = Kinds(
    {
        "scarf": "shaftcheck.checks.scarf:SCARF",
        "takedown": "shaftcheck.checks.takedown:TAKEDOWN",
        "repair": "shaftcheck.checks.unchecked:REPAIR",
    }
)
"""kinds of joint: where each stands"""


def joints(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Yield the comparisons of every joint of the shaft, by its kind."""
    for j in beam.shaft.joints:
        yield from JOINTS[j.kind].check(beam, j)


def hinged(place: str) -> Check:
    """Return a check that only a hinged rig has, from where it stands; it is imported when there is one."""

    def check(beam: Beam, cut: Cut) -> Iterator[Use]:
        if not isinstance(beam.shaft.rig, OnePiece):
            yield from imported(place)(beam, cut)

    return check


def sudden(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Yield bending where a shaft changes at once; imported when there is such a shaft."""
    if changes_at_once(beam.shaft.stations):
        yield from imported("shaftcheck.checks.ends:ends")(beam, cut)


def thin(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Yield the wall of a hollow shaft, and its ring under the hand; imported when there is one."""
    if hollow(beam.shaft.stations):
        yield from imported("shaftcheck.checks.hand:hands")(beam, cut)
        yield from imported("shaftcheck.checks.wall:walls")(beam, cut)


def notes(beam: Beam) -> Iterator[Note]:
    """Yield what is told of the joints of a single shaft."""
    for j in beam.shaft.joints:
        yield from JOINTS[j.kind].told(beam, j)


CRADLES: tuple[Check, ...] = tuple(
    hinged(f"shaftcheck.checks.{place}")
    for place in ("cradle:cradles", "grip:grips", "mouth:mouths", "bolt:bolts", "plug:plugs")
)
"""those of a hinged rig's cradles"""
CHECKS: tuple[Check, ...] = (
    bending,
    shear,
    damage,
    pressed,
    lock,
    *CRADLES,
    sudden,
    thin,
    flaw.material,
    flaw.flaws,
    joints,
)

ALWAYS: tuple[str, ...] = (
    "bending",
    "shear, stroke",
    "shear, up and down",
    "life",
    "buckling",
    "bending with thrust",
)
"""comparisons that every shaft has"""


def declared(shaft: Shaft) -> tuple[str, ...]:
    """Return the comparisons that the result of a shaft must hold, by name."""
    more = (*flaw.declared(shaft), *(name for j in shaft.joints for name in JOINTS[j.kind].declares))
    if changes_at_once(shaft.stations):
        more += imported("shaftcheck.checks.ends:declared")(shaft)
    if hollow(shaft.stations):
        more += (*imported("shaftcheck.checks.hand:DECLARES"), *imported("shaftcheck.checks.wall:DECLARES"))
    if isinstance(shaft.rig, OnePiece):
        return (*ALWAYS, "bearing at the lock", *more)
    from shaftcheck.checks import bolt, cradle, grip, mouth, plug

    clamps = (*cradle.DECLARES, *grip.DECLARES, *mouth.DECLARES)
    return (*ALWAYS, *clamps, *bolt.declared(shaft), *plug.declared(shaft), *more)
