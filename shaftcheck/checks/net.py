"""Bending of what a hole, a dent, a knot or an abrupt end leaves of a section: once, over a life, and pressed."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.column import THRUST, crush, pressed_rows, thrust_use
from shaftcheck.checks.compare import Use, norm, norm_use
from shaftcheck.checks.member import LIFE, bending_limit, exponent, fibre_parts, life_use
from shaftcheck.model import Array

__all__ = ["net_names", "net_uses"]

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
    yield Use(
        check=name,
        kind="breaks",
        x=here.x,
        use=np.where(gone, np.inf, norm_use(a, b, 0.0 * p, p, limit, q)),
        demand=norm(a, b + p, q),
        capacity=limit + 0.0 * a,
        unit="Pa",
        source=source,
        unknown=missing,
    )
    use, demand = life_use(beam, a, b, limit, q)
    use, demand = (np.where(gone, np.inf, v) for v in (use, demand))
    yield Use(
        check=f"{name}, life",
        kind="wears out",
        x=here.x,
        use=use,
        demand=demand,
        capacity=np.ones_like(demand),
        unit="",
        source=f"{LIFE}; {source}",
        unknown=missing,
    )
    rows, _ = pressed_rows(beam)
    if rows and pressed:
        pa, pb, pp = (v[..., list(rows), :] for v in (a, b, p))
        crushed = crush(N=here.axial[..., list(rows), :], A=here.section.area * area)
        use, demand = thrust_use(
            beam,
            lambda f: norm(f * pa, pp + f * pb, q),
            limit[..., list(rows), :],
            crushed / here.limit("compression")[..., list(rows), :],
        )
        use = np.where(gone, np.inf, use)
        yield Use(
            check=f"{name}, pressed",
            kind="breaks",
            x=here.x,
            use=use,
            demand=demand,
            capacity=np.ones_like(demand),
            unit="",
            source=f"{THRUST}; {source}",
            unknown=missing,
            cases=rows,
        )
