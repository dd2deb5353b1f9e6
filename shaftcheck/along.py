"""What happens along one shaft, for drawing it: actions, fibre stress and limit, and the use of every check."""

from __future__ import annotations

import numpy as np

from shaftcheck import engine
from shaftcheck.answer import Line, Oar, lines_of
from shaftcheck.beam import mesh
from shaftcheck.checks import JOINTS
from shaftcheck.checks.clamped import rigid_edge, rigid_inner
from shaftcheck.checks.compare import NOT_CHECKED
from shaftcheck.checks.joint import Note
from shaftcheck.checks.lock import along as pressed_along
from shaftcheck.checks.lock import lock_forces, ring_between
from shaftcheck.frozen import frozen
from shaftcheck.model import Array, Hinged, OnePiece, Shaft

__all__ = [
    "LOCK_CHECKS",
    "Along",
    "Course",
    "LockSeat",
    "along",
    "joint_lines",
    "joint_notes",
    "lock_seat",
    "seat_lines",
    "told_sizes",
    "weakest",
    "worst_of_a_case",
]


@frozen
class Course:
    """The use of one check along the shaft, the worst of all cases at each place; each array (points,)."""

    check: str
    x: Array
    """[m]"""
    use: Array
    """nan where it is not known at all"""


@frozen
class Along:
    """Actions along a single shaft, the weight in; arrays (cases, points) but x, which is (points,)."""

    x: Array
    """[m]"""
    moment: Array
    """fore and aft; positive stretches the aft face [N m]"""
    moment_up: Array
    """up and down; positive stretches the lower face [N m]"""
    shear: Array
    """fore and aft [N]"""
    shear_up: Array
    """up and down [N]"""
    stress: Array
    """fibre stress of bending both ways at once; nan for cases that push along the shaft [Pa]"""
    limit: Array
    """bending limit of each case and place, as `stress` [Pa]"""
    courses: tuple[Course, ...]
    """every check, worst first"""


def along(oar: Oar, points: int = 9) -> Along:
    """Return what happens along an oar.

    Parameters
    ----------
    points : between two places where the shaft or its loads change
    """
    beam = oar.beam
    x = mesh(beam.shaft, points)
    found = engine.uses(beam, x)
    cut = beam.at(x)
    stress, limit = (np.full(cut.moment_stroke.shape, np.nan) for _ in range(2))
    for u in found:
        if u.check == "bending":
            rows = list(u.cases or range(len(beam.cases)))
            shape = stress[rows].shape
            stress[rows], limit[rows] = np.broadcast_to(u.demand, shape), np.broadcast_to(u.capacity, shape)
    courses = []
    for u in found:
        if u.kind == NOT_CHECKED:
            continue
        where, use = np.broadcast_arrays(u.x, u.use)
        worst = np.where(np.isnan(use), -np.inf, use).max(axis=-2)
        courses.append(Course(check=u.check, x=where[0], use=np.where(np.isneginf(worst), np.nan, worst)))
    courses.sort(key=lambda c: -float(np.nan_to_num(c.use, nan=-1.0).max()))
    moment, moment_up, shear, shear_up = (
        _halved(oar, x[0], v)
        for v in (cut.moment_stroke, cut.moment_flat + cut.still_flat, cut.forward, cut.up + cut.still_up)
    )
    return Along(
        x=x[0],
        moment=moment,
        moment_up=moment_up,
        shear=shear,
        shear_up=shear_up,
        stress=_halved(oar, x[0], stress),
        limit=_halved(oar, x[0], limit),
        courses=tuple(courses),
    )


def _halved(oar: Oar, x: Array, v: Array) -> Array:
    """Return values with nothing where a hinged rig has no shaft."""
    rig = oar.shaft.rig
    if not isinstance(rig, Hinged):
        return v
    return np.where((x > float(rig.saw)) & (x < float(rig.restart)), np.nan, v)


def told_sizes(shaft: Shaft, x: Array) -> tuple[Array, Array]:
    """Return the sizes fore and aft and up and down at places along a single shaft as it is told, of x's shape [m].

    A shoulder is drawn as it is told, not as the lesser section that is counted on.
    """
    at = [float(s.x) for s in shaft.stations]
    depth = np.interp(x, at, [float(s.depth) for s in shaft.stations])
    return depth, np.interp(x, at, [float(s.width) for s in shaft.stations])


def weakest(oar: Oar) -> Line | None:
    """Return the comparison with the greatest known use, or None where nothing is known."""
    known = [line for line in oar.lines if not np.isnan(line.use)]
    return max(known, key=lambda line: line.use, default=None)


def worst_of_a_case(oar: Oar) -> Line | None:
    """Return the comparison with the greatest known use among those that belong to one case.

    It is another than the weakest place's where that is of no one case: a rule of place, or a life's strokes added up.
    None where nothing of a case is used.
    """
    own = [line for line in oar.lines if line.case and line.use > 0.0]
    return max(own, key=lambda line: line.use, default=None)


def joint_lines(oar: Oar) -> tuple[tuple[Line, ...], ...]:
    """Return the comparisons of each joint at their worst, in the order of the shaft's joints, worst first."""
    return tuple(
        lines_of(oar.beam, engine.worst(oar.beam, list(JOINTS[j.kind].check(oar.beam, j)))) for j in oar.shaft.joints
    )


def seat_lines(oar: Oar, which: str) -> tuple[float, float] | None:
    """Return how a stiff half presses its cradle at the mouth and, the other way, at its end [N/m].

    Under the case that presses it most, the weight left out; None without a cradle or without a load.

    Parameters
    ----------
    which : 'inner' or 'outer'
    """
    rig = oar.shaft.rig
    line = next((row for row in oar.lines if row.check == f"{which} cradle, bearing (stiff)" and row.case), None)
    if not isinstance(rig, Hinged) or line is None:
        return None
    inner = which == "inner"
    mouth, other = (rig.inner_from, rig.inner_to) if inner else (rig.outer_to, rig.outer_from)
    case = oar.beam.case(line.case)
    cut = oar.beam.at(np.array([[float(mouth) + (-1e-9 if inner else 1e-9)]]))
    length = abs(other - mouth)
    shear = np.hypot(cut.forward, cut.up)[case, 0]
    moment = np.hypot(cut.moment_stroke, cut.moment_flat)[case, 0] + shear * length / 2.0
    if not float(moment) > 0.0:
        return None
    return float(rigid_edge(V=shear, M_c=moment, L=length)), max(float(rigid_inner(V=shear, M_c=moment, L=length)), 0.0)


LOCK_CHECKS = ("bearing at the lock", "hollow under the lock")


@frozen
class LockSeat:
    """How a lock presses a shaft, under the case that presses it most."""

    place: float
    """its middle [m]"""
    length: float
    """of what it presses [m]"""
    force: float
    """both directions together, the weight in [N]"""
    face: str
    """the face that most of the force is on; empty where the force is none"""
    case_title: str
    depth: float
    """least size fore and aft within that length [m]"""
    width: float
    """least size up and down within that length [m]"""
    wall: float
    """thinnest under it and a depth beyond [m]; nan where it is solid there"""


def lock_seat(oar: Oar) -> LockSeat | None:
    """Return how the lock presses a shaft; None without a lock, or where no case is known to press it."""
    rig, beam = oar.shaft.rig, oar.beam
    line = next((row for row in oar.lines if row.check == LOCK_CHECKS[0] and row.case), None)
    if not isinstance(rig, OnePiece) or line is None:
        return None
    case, x, seat = beam.case(line.case), np.reshape(rig.lock, (1, 1)), float(rig.seat)
    forces = lock_forces(beam)
    ahead, up = float(forces[0][case, 0]), float(forces[1][case, 0] + forces[2][case, 0])
    place = beam.places.index("lock")
    forward = float(beam.forward[case, place]) > 0.0
    upward = float(beam.up[case, place] + beam.still_up[case, place]) > 0.0
    face = (
        ""
        if ahead == up == 0.0
        else ("aft" if forward else "forward")
        if ahead >= up
        else ("lower" if upward else "upper")
    )
    under = pressed_along(beam, x - seat / 2.0, x + seat / 2.0).section
    middle = beam.at(x).section
    reach = seat / 2.0 + np.maximum(middle.depth, middle.width)
    hollow, _, wall = ring_between(beam, x - reach, x + reach)
    return LockSeat(
        place=float(rig.lock),
        length=seat,
        force=float(np.hypot(ahead, up)),
        face=face,
        case_title=line.case_title,
        depth=float(under.depth.min()),
        width=float(under.width.min()),
        wall=float(wall[0, 0]) if hollow[0, 0] else np.nan,
    )


def joint_notes(oar: Oar) -> tuple[tuple[Note, ...], ...]:
    """Return what is told of each joint, in the order of the shaft's joints."""
    return tuple(tuple(JOINTS[j.kind].told(oar.beam, j)) for j in oar.shaft.joints)
