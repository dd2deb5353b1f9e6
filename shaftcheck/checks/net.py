"""Bending of what a hole, a dent, a knot or an abrupt end leaves of a section: once, over a life, and pressed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.column import THRUST, crush, pressed_rows, thrust_use
from shaftcheck.checks.compare import Use, norm, norm_use
from shaftcheck.checks.member import LIFE, bending_limit, exponent, fibre_parts, life_use
from shaftcheck.model import Array

__all__ = ["bent_uses", "net_names", "net_uses"]

_STRENGTH = "a strength of the wood, its run-out, or a section that the method reaches"


def net_names(name: str, *, pressed: bool = True) -> tuple[str, ...]:
    """Return the names of the comparisons of `net_uses`."""
    return (name, f"{name}, life", *((f"{name}, pressed",) if pressed else ()))


def net_uses(
    beam: Beam,
    here: Cut,
    name: str,
    *,
    stroke: Array,
    flat: Array,
    area: Array,
    source: str,
    unknown: str = "",
    pressed: bool = True,
) -> Iterator[Use]:
    """Yield fibre stress, the damage of a life and bending with thrust, of what is left.

    Parameters
    ----------
    stroke, flat : (..., 1, points) - what is left of the section's resistance each way [-]; nan where not known
    area : same shape - what is left of its area [-]
    source : why that much is left
    unknown : what may be missing besides a strength
    pressed : whether a push along the shaft comes this far; it does not beyond an outer cradle
    """
    missing = f"{unknown}; or {_STRENGTH}" if unknown else _STRENGTH
    gone = (stroke <= 0.0) | (flat <= 0.0) | (area <= 0.0)
    stroke, flat, area = (np.where(gone, 1.0, r) for r in (stroke, flat, area))
    a, b, p = (v / r for v, r in zip(fibre_parts(here), (stroke, flat, flat), strict=True))
    limit = bending_limit(beam, here)
    q = exponent(here.section)
    for u in bent_uses(
        beam,
        net_names(name),
        here.x,
        loads=(a, b),
        weight=(None, p),
        limit=limit,
        q=q,
        axial=crush(N=here.axial, A=here.section.area * area) / here.limit("compression"),
        sources=(source, source),
        unknown=missing,
        pressed=pressed,
    ):  # where nothing is left, nothing holds
        demand = np.where(gone, np.inf, u.demand) if u.kind == "wears out" else u.demand
        yield replace(u, use=np.where(gone, np.inf, u.use), demand=demand)


def bent_uses(
    beam: Beam,
    names: tuple[str, ...],
    x: Array,
    *,
    loads: tuple[Array, Array],
    weight: tuple[Array | None, Array],
    limit: Array,
    q: Array | float,
    axial: Array,
    sources: tuple[str, str],
    unknown: str,
    pressed: bool = True,
) -> Iterator[Use]:
    """Yield what every bent part is asked: fibre stress under each case, the damage of a life, bending with thrust.

    Parameters
    ----------
    names : of the three comparisons, in that order
    x : where [m]
    loads, weight : fibre stress both ways, (..., cases, points), not negative, of the loads and of the weight; None
        where the weight does not bend that way [Pa]
    limit : same shape - what it may be [Pa]
    q : how the two ways combine
    axial : same shape - stress of the push along over what it may be [-]
    sources : of the first, and what the other two add to their own
    pressed : whether a push along the shaft comes this far
    """
    (a, b), (pa, pb) = loads, weight
    yield Use(
        check=names[0],
        kind="breaks",
        x=x,
        use=norm_use(a, b, 0.0 * pb if pa is None else pa, pb, limit, q),
        demand=norm(a if pa is None else a + pa, b + pb, q),
        capacity=limit + 0.0 * a,
        unit="Pa",
        source=sources[0],
        unknown=unknown,
    )
    use, demand = life_use(beam, a, b, limit, q)
    yield Use(
        check=names[1],
        kind="wears out",
        x=x,
        use=use,
        demand=demand,
        capacity=np.ones_like(demand),
        unit="",
        source=f"{LIFE}; {sources[1]}",
        unknown=unknown,
    )
    rows, _ = pressed_rows(beam)
    if not rows or not pressed:
        return
    ra, rb, rpb = (v[..., list(rows), :] for v in (a, b, pb))
    rpa = None if pa is None else pa[..., list(rows), :]
    use, demand = thrust_use(
        beam,
        lambda f: norm(f * ra if rpa is None else rpa + f * ra, rpb + f * rb, q),
        limit[..., list(rows), :],
        axial[..., list(rows), :],
    )
    yield Use(
        check=names[2],
        kind="breaks",
        x=x,
        use=use,
        demand=demand,
        capacity=np.ones_like(demand),
        unit="",
        source=f"{THRUST}; {sources[1]}",
        unknown=unknown,
        cases=rows,
    )
