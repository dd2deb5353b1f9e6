"""How short may a joint be: the same joint at the same place in many lengths, as one batch; and what may go wrong."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from shaftcheck.beam import Beam
from shaftcheck.checks import JOINTS
from shaftcheck.engine import Row, run, walk
from shaftcheck.frozen import frozen
from shaftcheck.loads import loaded
from shaftcheck.model import Array, Bools, Shaft, number
from shaftcheck.said import percent
from shaftcheck.studies.forms import Ints

__all__ = ["Lengths", "Mishap", "greatest", "mishaps", "search"]

STEEP_GRAIN = 1 / 12
"""run-out of a board whose grain was read too well: 1:12 (judgement) [-]"""
DAMP = 0.20
"""moisture of a shaft that is kept wet (judgement) [-]"""


@frozen
class Lengths:
    """One joint in many lengths; arrays (lengths,)."""

    length: Array
    """[m]"""
    barred: tuple[tuple[str, Bools], ...]
    """why it can't be, and where"""
    checked: Ints
    """which of the lengths were checked: those that nothing bars"""
    uses: dict[str, Row]
    """arrays (checked,)"""
    own: Array
    """greatest known use of the joint's own checks; infinite where it can't be"""
    worst: Array
    """greatest known use of all; infinite where it can't be"""
    known: Bools
    """whether all is known"""


def search(shaft: Shaft, index: int, length: Array, *, own: float) -> Lengths:
    """Return what every length of a joint would do, checked as closely as in an answer.

    Parameters
    ----------
    shaft : a single shaft, batch shape ()
    index : of the joint
    length : (lengths,) - overlap of a takedown, length of a scarf in the finished shaft [m]
    own : what the user divides each strength by [-]

    Raises
    ------
    ValueError
        if that kind of joint can't be placed.
    """
    joint = shaft.joints[index]
    kind = JOINTS[joint.kind]
    if kind.placing is None:
        raise ValueError(f"a {joint.kind} has no length to be sought")
    placing = kind.placing
    middle = placing.middle(joint) + 0.0 * length
    moved = placing.moved(shaft, joint, middle, length)
    barred = np.zeros(length.shape, dtype=bool)
    for _, where in moved.barred:
        barred |= where
    todo = np.flatnonzero(~barred)

    def build(i: Ints) -> Beam:
        here = todo[i]
        new = placing.moved(shaft, joint, middle[here], length[here]).joint
        joints = (*shaft.joints[:index], new, *shaft.joints[index + 1 :])
        return loaded(replace(shaft, joints=joints), np.full(len(i), own))

    rows = walk((len(todo),), build, rounds=2) if len(todo) else {}
    worst, its, known = np.zeros(len(todo)), np.zeros(len(todo)), np.ones(len(todo), dtype=bool)
    for name, row in rows.items():
        worst = np.fmax(worst, row.use)
        known &= row.known
        if name in kind.declares:
            its = np.fmax(its, row.use)

    def spread(values: Array) -> Array:
        full = np.full(len(length), np.inf)
        full[todo] = values
        return full

    settled = np.zeros(len(length), dtype=bool)
    settled[todo] = known
    return Lengths(
        length=length, barred=moved.barred, checked=todo, uses=rows, own=spread(its), worst=spread(worst), known=settled
    )


@frozen(eq=True)
class Mishap:
    """What one thing that goes wrong does to a shaft."""

    what: str
    use: float
    """greatest known use with it [-]"""
    check: str
    """which check has it"""


def greatest(rows: tuple[Row, ...]) -> tuple[float, str]:
    """Return the greatest known use of a single shaft, and which check has it."""
    known = [(float(r.use), r.check) for r in rows if not np.isnan(r.use)]
    return max(known, default=(np.nan, ""))


def mishaps(shaft: Shaft, thinner: Shaft, words: str, *, own: float) -> tuple[Mishap, ...]:
    """Return what a little less wood, grain of 1:12 and moisture of 20 % do to a shaft, one by one and together.

    Parameters
    ----------
    shaft, thinner : single shafts, batch shape (): as meant, and with every size that was sought a mark less
    words : how much a mark is
    """

    def grain(s: Shaft) -> Shaft:
        return replace(s, pieces=tuple(replace(p, slope=np.maximum(p.slope, STEEP_GRAIN)) for p in s.pieces))

    def wet(s: Shaft) -> Shaft:
        return replace(s, pieces=tuple(replace(p, moisture=np.maximum(p.moisture, DAMP)) for p in s.pieces))

    out = []
    for what, one in (
        ("as it is", shaft),
        (f"every size {words} less", thinner),
        (f"grain of 1:{1.0 / STEEP_GRAIN:g}", grain(shaft)),
        (f"{percent(DAMP)} moisture", wet(shaft)),
        ("all three", wet(grain(thinner))),
    ):
        use, check = greatest(run(loaded(one, number(own)), rounds=2))
        out.append(Mishap(what=what, use=use, check=check))
    return tuple(out)
