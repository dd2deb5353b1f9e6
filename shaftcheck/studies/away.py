"""A joint that lies where none may: the nearest place where the shaft holds."""

from __future__ import annotations

import numpy as np

from shaftcheck.checks import JOINTS
from shaftcheck.checks.placed import overlap
from shaftcheck.model import Array, OnePiece, Shaft
from shaftcheck.said import Said, said, sized
from shaftcheck.studies.placing import HOLDS, jointed, search
from shaftcheck.studies.rulers import Ruler

__all__ = ["moved_away"]

NEAREST = 24
"""places of a joint that are checked whole, the nearest of those that break no rule of place"""


def moved_away(shaft: Shaft, index: int, *, own: float, ruler: Ruler) -> Said | None:
    """Return the least move of one joint, woods that meet in it with it, that makes the shaft hold; None if none does.

    Parameters
    ----------
    shaft : a single shaft, batch shape ()
    own : what the user divides each strength by [-]
    ruler : whose steps are those from place to place, counted from where the joint is
    """
    joint, rig, step = shaft.joints[index], shaft.rig, ruler.step
    kind = JOINTS[joint.kind].placing
    if kind is None:
        return None
    now = float(kind.middle(joint))
    length = float(shaft.length)
    steps = np.arange(-int(now / step), int((length - now) / step) + 1)
    at = now + steps[steps != 0] * step
    at = at[np.argsort(np.abs(at - now), kind="stable")]
    place = jointed(shaft, index)
    placed = place(at, np.full(at.shape, np.nan))
    one = placed.shaft.joints[index]
    low, high = (
        (rig.lock - rig.seat / 2.0, rig.lock + rig.seat / 2.0)
        if isinstance(rig, OnePiece)
        else (rig.inner_from, rig.outer_to)
    )
    others = [(j.start, j.end) for j in shaft.joints if j is not joint]
    shared: Array = sum((overlap(one.start, one.end, a, b) for a, b in [(low, high), *others]), start=0.0 * at)
    free = (shared <= 0.0) & ~np.logical_or.reduce([where + np.zeros(at.shape, bool) for _, where in placed.barred])
    at = at[free][:NEAREST]
    if not len(at):
        return None
    p = search(place, at, np.full(at.shape, np.nan), own=own, mine=lambda check: True)
    held = p.at[p.state == HOLDS]
    if not len(held):
        return None
    best = float(held[np.argmin(np.abs(held - now))])
    woods = [w.wood.name for w in shaft.pieces[:-1] if joint.start - 1e-9 <= w.end <= joint.end + 1e-9]
    told = ", to {at}" if ruler.shows(best) else ""  # else it is not where the distance puts it
    return said(
        "the {kind}" + (" and the end of the {wood} in it" if woods else "") + " moved {by} {way}" + told,
        kind=joint.kind,
        by=sized(abs(best - now)),
        way="outboard" if best > now else "inboard",
        **({"at": sized(best)} if told else {}),
        **({"wood": woods[0]} if woods else {}),
    )
