"""What to expect of a mean shaft, and of one whose woods are stronger or weaker: never a figure to work to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from shaftcheck.beam import Beam, mesh, per_piece, settings
from shaftcheck.checks import CHECKS
from shaftcheck.checks.compare import NOT_CHECKED
from shaftcheck.engine import uses
from shaftcheck.frozen import frozen
from shaftcheck.model import Array, Property
from shaftcheck.strength import LIMITS, PROPERTY_OF, Z95, expected

__all__ = ["Order", "as_expected", "order", "scatter"]


def scatter(beam: Beam, prop: Property) -> Array:
    """Return the standard deviation of the logarithm of a property of each piece, (..., pieces); lognormal.

    nan where no coefficient of variation is known.
    """
    v = per_piece([np.asarray(getattr(p.wood.scatter, prop)) for p in beam.shaft.pieces])
    return np.asarray(np.sqrt(np.log1p(v * v)))


def as_expected(beam: Beam, times: Mapping[Property, Array] | None = None) -> Beam:
    """Return the beam with what its woods carry in the mean instead of their design limits.

    Parameters
    ----------
    beam : of a single shaft, batch shape ()
    times : by property, (..., pieces) - by how much the pieces differ from the mean; a batch of beams
    """
    found = settings(beam.shaft, beam.cases, beam.own)
    limits: dict[str, Array] = {name: per_piece([expected(name, s) for s in found]) for name in LIMITS}
    if times is None:
        return replace(beam, limits=limits)
    limits = {name: limits[name] * times[PROPERTY_OF[name]][..., None, :] for name in LIMITS}
    batch = np.broadcast_shapes(*(t.shape[:-1] for t in times.values()))
    return replace(beam, limits=limits, centre=np.broadcast_to(beam.centre, (*batch, beam.centre.shape[-1])))


@frozen
class Order:
    """What one comparison is good for, in the quantity of one load case [the case's unit]."""

    check: str
    kind: str
    case: int
    """index of the load case in whose quantity it is told; -1 where it belongs to none"""
    x: float
    """[m]"""
    work_to: float
    low: float
    """where 5 of 100 would have given way"""
    half: float
    high: float
    """where 95 of 100 would have given way"""


def order(beam: Beam) -> tuple[Order, ...]:
    """Return each comparison's quantity at its design limit and at the expected break, least work-to first.

    What a stroke governs is told as the greatest single pull, the wear of a life as the pull of every stroke, all else
    in the quantity of the case that governs it. Rules of place and make, and standing forces, are not in it.
    Weaker and stronger woods have every property lower or higher together, at the 5 and 95 % marks of lognormal
    scatter about the mean.

    Parameters
    ----------
    beam : of a single shaft, batch shape ()
    """
    x = mesh(beam.shaft, 33)
    marks = np.array([-Z95, 0.0, Z95])[:, None]
    times = {prop: np.exp(marks * scatter(beam, prop)) for prop in set(PROPERTY_OF.values())}
    out = []
    for a, b in zip(uses(beam, x, CHECKS), uses(as_expected(beam, times), x, CHECKS), strict=True):
        if a.kind == NOT_CHECKED:
            continue
        case, row = _case(beam, a.use, a.cases)
        if a.kind == "wears out":
            case = beam.case("steady")
        if row is None:
            continue
        driver = float(beam.cases[case].driver) if case >= 0 else np.nan
        at, use = np.broadcast_arrays(a.x, a.use)
        at, use = at[..., row, :], use[..., row, :]
        k = int(np.where(np.isnan(use), -1.0, use).argmax())
        design = float(use.max())
        breaks = np.broadcast_to(b.use, (3, *b.use.shape[-2:]))[:, row, :].max(axis=-1)
        with np.errstate(divide="ignore"):
            low, half, high = (float(v) for v in driver / breaks)
            work_to = driver / design if design != 0.0 else np.inf
        if case < 0:
            continue  # a rule of place or make, or a standing force: nothing that a pull brings about
        out.append(
            Order(check=a.check, kind=a.kind, case=case, x=float(at[k]), work_to=work_to, low=low, half=half, high=high)
        )
    return tuple(sorted(out, key=lambda o: (np.isnan(o.work_to), o.work_to)))


def _case(beam: Beam, use: Array, cases: Sequence[int] | None) -> tuple[int, int | None]:
    """Return the case in whose quantity a comparison is told, and its row; no row where none is known."""
    if cases is None and use.shape[-2] == 1:
        return -1, 0
    rows = list(cases if cases is not None else range(len(beam.cases)))
    worst = use.max(axis=-1)
    if np.isnan(worst).all():
        return -1, None
    governs = rows[int(np.nanargmax(worst))]
    once = beam.case("once")
    if once in rows and not np.isnan(float(beam.cases[governs].pull)):
        governs = once
    return governs, rows.index(governs)
