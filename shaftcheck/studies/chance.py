"""The chance that a shaft falls short: strengths and loads vary, lognormal, one board one draw for all its stations.

First order: each comparison's surface of failure is taken as a plane at its point nearest the origin of independent
standard normal variables (Hasofer and Lind (1974); Rackwitz and Fiessler (1978), from memory). It is exact where use
goes with powers of strengths and loads. Samples of strengths are drawn beside it, the load being integrated in closed
form for each. What falls short here is the strength as it is, of wood as it varies, not a design limit.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from shaftcheck.beam import Beam
from shaftcheck.checks.compare import NOT_CHECKED
from shaftcheck.engine import Row, run, walk
from shaftcheck.frozen import frozen
from shaftcheck.model import PROPERTIES, Array, Property
from shaftcheck.studies.expected import as_expected, friction_scatter, scatter

__all__ = ["Chance", "Drive", "chance", "first_order", "phi"]

STEP = 1e-3
"""of the differences that stand for slopes, in standard deviations"""
ROUNDS = 6
"""of the search for the likeliest way to fall short, at most"""


def phi(z: Array) -> Array:
    """Return the standard normal distribution function."""
    from scipy.special import ndtr

    return np.asarray(ndtr(z))


def first_order(g: Callable[[Array], Array], variables: int, rows: int, rounds: int = ROUNDS) -> tuple[Array, Array]:
    """Return reliability indices and the points nearest the origin of surfaces g(u) = 0.

    Parameters
    ----------
    g : takes points (rows, points, variables) and returns the margin of each row's own surface there, (rows, points);
        above zero where all is well
    variables : standard normal and independent
    rows : how many surfaces

    Returns
    -------
    index (rows,), below zero where the origin itself fails; nearest points (rows, variables)
    """
    u = np.zeros((rows, variables))
    for _ in range(rounds):
        around = u[:, None, :] + np.concatenate([np.zeros((1, variables)), STEP * np.eye(variables)])
        value = g(around)
        slope = (value[:, 1:] - value[:, :1]) / STEP
        steep = np.sum(slope * slope, axis=-1)
        with np.errstate(invalid="ignore", divide="ignore"):
            reach = (np.sum(slope * u, axis=-1) - value[:, 0]) / steep
            u = np.where(np.isfinite(reach)[:, None], reach[:, None] * slope, u)
    at = g(np.zeros((rows, 1, variables)))[:, 0]
    index = np.sqrt(np.sum(u * u, axis=-1))
    index = np.where(at < 0.0, -index, index)
    return np.where(np.isnan(at), np.nan, np.where(np.isinf(at), np.copysign(np.inf, at), index)), u


@frozen
class Drive:
    """A variable and its share of the variance at the point nearest failure of what governs [-]."""

    name: str
    share: float


@frozen
class Chance:
    """How likely a shaft falls short in all that is checked."""

    checks: tuple[str, ...]
    kinds: tuple[str, ...]
    index: Array
    """(checks,) reliability index of each comparison"""
    at_least: float
    """the likeliest comparison alone: if all fail together"""
    at_most: float
    """if each failed independently of the others"""
    sampled: float
    error: float
    """standard error of `sampled`"""
    draws: int
    series: int
    drives: tuple[Drive, ...]
    """of the likeliest comparison, greatest first"""
    unknown: tuple[str, ...]
    """comparisons that are not known"""
    fixed: tuple[str, ...]
    """comparisons that no strength of wood and no load bear on: rules of place and make that are not kept"""


def chance(
    beam: Beam,
    *,
    load_scatter: float,
    model_scatter: float,
    draws: int,
    series: int,
    tick: Callable[[int, int], None] | None = None,
) -> Chance:
    """Return the chance that the shaft falls short under the loads that it must hold.

    Parameters
    ----------
    beam : of a single shaft, batch shape ()
    load_scatter : coefficient of variation of all loads, common to them [-]
    model_scatter : coefficient of variation of the method's error [-]
    draws : of strengths, the same for the same number of `series`
    """
    names, spread = _variables(beam)
    rows = run(as_expected(beam), rounds=1)
    live = [i for i, r in enumerate(rows) if r.kind != NOT_CHECKED and float(r.use) > 0.0 and np.isfinite(r.use)]
    fixed = tuple(r.check for r in rows if np.isinf(r.use))
    unknown = tuple(dict.fromkeys(r.check for r in rows if not bool(r.known)))
    both = np.log1p(load_scatter**2) + np.log1p(model_scatter**2)
    n = len(spread)

    def uses_at(z: Array, pick: Callable[[Sequence[Row]], Array]) -> Array:
        """Return what is picked of the uses at normal variables z (k, n), in blocks."""
        blocks = [_times(beam, z[k : k + 256], spread) for k in range(0, len(z), 256)]
        return np.concatenate([pick(run(as_expected(beam, *times))) for times in blocks], axis=-1)

    def margin(u: Array) -> Array:
        flat = u[..., :n].reshape(-1, n)
        own = np.repeat(np.arange(len(live)), u.shape[1])
        all_uses = uses_at(
            flat, lambda found: np.stack([np.broadcast_to(found[i].use, found[0].use.shape) for i in live])
        )
        use = all_uses[own, np.arange(len(own))].reshape(u.shape[:2])
        with np.errstate(divide="ignore"):
            return np.asarray(-np.log(use) - (np.sqrt(both) * u[..., n] - both / 2.0))

    index, nearest = first_order(margin, n + 1, len(live))
    failing = phi(-index)
    order = np.argsort(index)
    drives: tuple[Drive, ...] = ()
    if len(live):
        u = nearest[order[0]]
        share = u * u / max(float(np.sum(u * u)), 1e-300)
        loads, model = (np.log1p(v**2) / both if both > 0.0 else 0.0 for v in (load_scatter, model_scatter))
        shares = [
            *zip(names, share[:n], strict=True),
            ("the loads", share[n] * loads),
            ("the method", share[n] * model),
        ]
        drives = tuple(Drive(name=k, share=float(v)) for k, v in sorted(shares, key=lambda s: -s[1]) if v > 0.005)
    p, error = _sampled(beam, spread, both, draws, series, tick)
    worst = 1.0 if fixed else float(failing.max(initial=0.0))
    return Chance(
        checks=tuple(rows[live[i]].check for i in order),
        kinds=tuple(rows[live[i]].kind for i in order),
        index=index[order],
        at_least=worst,
        at_most=1.0 if fixed else float(1.0 - np.prod(1.0 - failing)),
        sampled=p,
        error=error,
        draws=draws,
        series=series,
        drives=drives,
        unknown=unknown,
        fixed=fixed,
    )


def _variables(beam: Beam) -> tuple[list[str], Array]:
    """Return name and log-scatter of what varies: each property of each piece, property by property, and friction."""
    names = [f"{prop.replace('_', ' ')} of {p.wood.name}" for prop in PROPERTIES for p in beam.shaft.pieces]
    spread = np.concatenate([*(np.atleast_1d(scatter(beam, prop)) for prop in PROPERTIES), [friction_scatter()]])
    return [*names, "friction in the cradles"], spread


def _times(beam: Beam, z: Array, spread: Array) -> tuple[dict[Property, Array], Array]:
    """Return by what each piece's properties, and the friction, differ from their means, for z (k, n).

    Lognormal with mean 1.
    """
    with np.errstate(invalid="ignore"):
        times = np.exp(z * spread - spread * spread / 2.0)
    pieces = len(beam.shaft.pieces)
    return {prop: times[:, i * pieces : (i + 1) * pieces] for i, prop in enumerate(PROPERTIES)}, times[:, -1]


def _sampled(
    beam: Beam, spread: Array, both: float, draws: int, series: int, tick: Callable[[int, int], None] | None
) -> tuple[float, float]:
    """Return the mean over drawn strengths of the chance that loads and method pass them, and its standard error."""
    z = np.random.default_rng(series).standard_normal((draws, len(spread)))
    times, friction = _times(beam, z, spread)
    found = walk((draws,), lambda i: as_expected(beam, {k: v[i] for k, v in times.items()}, friction[i]), tick=tick)
    worst = np.max([np.nan_to_num(np.broadcast_to(r.use, (draws,)), nan=0.0) for r in found.values()], axis=0)
    with np.errstate(divide="ignore"):
        log = np.log(worst)
    p = phi((log - both / 2.0) / np.sqrt(both)) if both > 0.0 else (log > 0.0).astype(np.float64)
    return float(p.mean()), float(p.std(ddof=1) / np.sqrt(draws)) if draws > 1 else np.nan
