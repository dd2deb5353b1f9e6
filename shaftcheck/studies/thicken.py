"""What sections would make a shaft hold: each station grown by what the checks near it ask."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from shaftcheck.beam import mesh
from shaftcheck.checks.compare import NOT_CHECKED
from shaftcheck.engine import uses
from shaftcheck.loads import loaded
from shaftcheck.model import Array, Shaft, Station, number
from shaftcheck.studies.refit import refitted
from shaftcheck.studies.tried import hold

__all__ = ["grow", "grown", "thicken"]

ROUNDS = 12
"""of growing and checking again, before it is left"""
_MOST = 1.8
"""a station grown by more than this is no advice (judgement) [-]"""
_OVER = 1.004
"""what a station that still falls short grows by beyond what is asked, so that it comes to an end (judgement) [-]"""
_SHARE = 0.02
"""a place that a station has less than this part of asks nothing of it (judgement) [-]"""


def thicken(shaft: Shaft, *, own: Array, step: float) -> tuple[Station, ...] | None:
    """Return sections that hold in all that is checked, or None where none within `_MOST` times the size are found.

    Fibre stress goes with the cube of a section's size, shear and bearing with its square, buckling with its fourth
    power; a section between two stations asks both. Sizes are rounded up to `step`, and the rounded shaft, its joints
    made anew in it, is the one that was found to hold.

    Parameters
    ----------
    shaft : a single shaft, batch shape ()
    own : what the user divides each strength by [-]
    step : to which sizes are rounded up [m]
    """
    xs = np.array([float(s.x) for s in shaft.stations])
    scale = np.ones(len(xs))
    for _ in range(ROUNDS):
        trial = grown(shaft, scale, step)
        if trial is None:
            return None
        need = _need(trial, xs, own)
        if np.isnan(need).any():
            return None
        if np.all(need <= 1.0):
            if hold([trial], own)[0]:
                return trial.stations
            need = np.where(need == need.max(), np.nextafter(1.0, 2.0), need)  # looked at closely, it falls just short
        scale = scale * np.maximum(need, 1.0) * np.where(need > 1.0, _OVER, 1.0)
        if np.any(scale > _MOST):
            return None
    return None


def grown(shaft: Shaft, scale: Array, step: float) -> Shaft | None:
    """Return a single shaft with each section so many times stouter; None where a joint does not fit in it.

    Parameters
    ----------
    scale : of each station, (stations,) [-]
    step : to which sizes are rounded up [m]
    """
    stations = tuple(grow(s, float(k), step) for s, k in zip(shaft.stations, scale, strict=True))
    new, barred = refitted(replace(shaft, stations=stations), number(0.0))
    return None if bool(barred) else new


def grow(s: Station, scale: float, step: float) -> Station:
    """Return a section so many times stouter, rounded up to a step [m]; the wall stays."""
    if scale == 1.0:
        return s

    def up(size: Array) -> Array:
        return number(np.ceil(float(size) * scale / step - 1e-6) * step)

    return replace(s, depth=up(s.depth), width=up(s.width))


def _need(shaft: Shaft, xs: Array, own: Array) -> Array:
    """Return how much each station must grow, by the worst use of the spans beside it [-]; nan if not known."""
    beam = loaded(shaft, own)
    need = np.zeros(len(xs))
    for u in uses(beam, mesh(shaft, 17)):
        if u.kind == NOT_CHECKED:
            continue
        x, use = np.broadcast_arrays(u.x, u.use)
        if np.isnan(use).any():
            return np.full(len(xs), np.nan)
        worst, where = use.max(axis=-2), np.clip(x[..., 0, :], xs[0], xs[-1])  # beyond the last, its section goes on
        if u.kind == "buckles":
            need = np.maximum(need, np.max(worst) ** 0.25)
            continue
        power = 3.0 if u.kind in ("breaks", "wears out") else 2.0
        grow = worst ** (1.0 / power)
        for i in range(len(xs)):
            low, high = xs[max(i - 1, 0)], xs[min(i + 1, len(xs) - 1)]
            near = (where >= low) & (where <= high)
            # a place right at the far station is that station's own
            share = np.where(
                near,
                1.0 - np.abs(where - xs[i]) / np.where(where < xs[i], max(xs[i] - low, 1e-9), max(high - xs[i], 1e-9)),
                0.0,
            )
            asked = np.where((share > _SHARE) | (np.abs(where - xs[i]) < 1e-6), grow, 0.0)
            need[i] = max(need[i], float(asked.max(initial=0.0)))
    return need
