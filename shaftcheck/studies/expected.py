"""What to expect of a mean shaft, and of one whose woods are stronger or weaker: never a figure to work to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from shaftcheck.beam import Beam, per_piece, settings
from shaftcheck.checks import grip as grips
from shaftcheck.checks.compare import NOT_CHECKED, Use
from shaftcheck.engine import refined, uses
from shaftcheck.frozen import frozen
from shaftcheck.model import Array, Property, number
from shaftcheck.strength import LIMITS, PROPERTY_OF, Z95, expected

__all__ = ["FRICTION_WORDS", "Order", "Told", "as_expected", "friction_scatter", "order", "scatter"]

FRICTION_WORDS = (
    f"friction in the cradles is lognormal about {grips.EXPECTED:g} with a coefficient of variation of "
    f"{grips.SCATTER:g} (judgement on Wood Handbook ch. 4, from memory); the check takes {float(grips.FRICTION):g}"
)
"""what is said where a hinged rig's grip is told as it varies"""


def scatter(beam: Beam, prop: Property) -> Array:
    """Return the standard deviation of the logarithm of a property of each piece, (..., pieces); lognormal.

    nan where no coefficient of variation is known.
    """
    v = per_piece([np.asarray(getattr(p.wood.scatter, prop)) for p in beam.shaft.pieces])
    return np.asarray(np.sqrt(np.log1p(v * v)))


def as_expected(beam: Beam, times: Mapping[Property, Array] | None = None, friction: Array | None = None) -> Beam:
    """Return the beam with what its woods carry in the mean, and grip with, instead of their design limits.

    Parameters
    ----------
    beam : of a single shaft, batch shape ()
    times : by property, (..., pieces) - by how much the pieces differ from the mean; a batch of beams
    friction : (...) - by how much the friction in the cradles of a hinged rig differs from its mean
    """
    found = settings(beam.shaft, beam.cases, beam.own)
    limits: dict[str, Array] = {name: per_piece([expected(name, s) for s in found]) for name in LIMITS}
    grip = number(grips.EXPECTED) * (number(1.0) if friction is None else friction)
    if times is None:
        return replace(beam, limits=limits, friction=grip)
    limits = {name: limits[name] * times[PROPERTY_OF[name]][..., None, :] for name in LIMITS}
    batch = np.broadcast_shapes(*(t.shape[:-1] for t in times.values()))
    centre = np.broadcast_to(beam.centre, (*batch, beam.centre.shape[-1]))
    return replace(beam, limits=limits, friction=np.broadcast_to(grip, batch), centre=centre)


def friction_scatter() -> Array:
    """Return the standard deviation of the logarithm of the friction in a cradle; lognormal."""
    return np.asarray(np.sqrt(np.log1p(grips.SCATTER**2)))


@frozen
class Told:
    """What one comparison is good for, in the quantity of one load case [the case's unit]."""

    case: int
    """index of the load case"""
    x: float
    """where, at its design limit [m]"""
    work_to: float
    """at its design limit"""
    low: float
    """where 5 of 100 would have given way"""
    half: float
    high: float
    """where 95 of 100 would have given way"""


@frozen
class Order:
    """What one comparison is good for: under a single pull alone, and as all loads that the shaft must hold grow."""

    check: str
    kind: str
    once: Told | None
    """the single pull alone; none where that is no load of it"""
    together: Told
    """all loads grown in proportion, told in the quantity of the case that is the first to pass the design limit"""
    times: tuple[float, float, float, float]
    """the loads of the file times this at its design limit, at the 5 % mark, half and the 95 % mark [-]"""


def order(beam: Beam) -> tuple[Order, ...]:
    """Return each comparison's loads at its design limit and at the expected break, in the order of the limits.

    Rules of place and make, and standing forces, are not in it: nothing that a pull brings about. The wear of a life
    is told as the pull of every stroke. Weaker and stronger woods have every property lower or higher together, at
    the 5 and 95 % marks of lognormal scatter about the mean; so has the friction in a cradle.

    Parameters
    ----------
    beam : of a single shaft, batch shape ()
    """
    marks = np.array([-Z95, 0.0, Z95])
    times = {prop: np.exp(marks[:, None] * scatter(beam, prop)) for prop in set(PROPERTY_OF.values())}
    mean = as_expected(beam, times, np.exp(marks * friction_scatter()))
    once, steady = beam.case("once"), beam.case("steady")
    out = []
    for a, b in zip(uses(beam, refined(beam)), uses(mean, refined(mean)), strict=True):
        if a.kind == NOT_CHECKED:
            continue
        rows = tuple(range(a.use.shape[-2])) if a.cases is None else a.cases
        design, x = _worst(a)
        breaks = np.broadcast_to(_worst(b)[0], (3, len(rows)))
        if len(rows) == 1 and a.cases is None:
            if a.kind != "wears out":
                continue
            rows = (steady,)
        if np.isnan(design).all():
            continue
        k = int(np.nanargmax(design))
        worst = np.array([design.max(), *breaks.max(axis=-1)])
        alone = None
        if once in rows:
            i = rows.index(once)
            alone = _told(beam, once, x[i], np.array([design[i], *breaks[:, i]]))
        together = _told(beam, rows[k], x[k], worst)
        out.append(Order(check=a.check, kind=a.kind, once=alone, together=together, times=_times(1.0, worst)))
    return tuple(sorted(out, key=lambda o: (np.isnan(o.times[0]), o.times[0])))


def _told(beam: Beam, case: int, x: Array, use: Array) -> Told:
    work_to, low, half, high = _times(float(beam.cases[case].driver), use)
    return Told(case=case, x=float(x), work_to=work_to, low=low, half=half, high=high)


def _times(load: float, use: Array) -> tuple[float, float, float, float]:
    with np.errstate(divide="ignore"):
        work_to, low, half, high = (float(v) for v in load / use)
    return work_to, low, half, high


def _worst(u: Use) -> tuple[Array, Array]:
    """Return the worst use of each case, (..., cases), nan where a part is not known, and where it is [m]."""
    x, use = np.broadcast_arrays(u.x, u.use)
    k = np.where(np.isnan(use), -1.0, use).argmax(axis=-1)[..., None]
    return use.max(axis=-1), np.take_along_axis(x, k, axis=-1)[..., 0]
