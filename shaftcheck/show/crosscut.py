"""A section as it is cut at one place: its woods, the glue line between them and its wall; and the key of the woods."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from shaftcheck.model import Shaft
from shaftcheck.show.style import INKS, RIGHT, SMALL, WIDTH, clean, measure, write
from shaftcheck.show.views import section_outline, wood_looks

__all__ = ["Glued", "crosscut", "glued_at", "wood_key"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Glued:
    """How a scarf's plane cuts one section."""

    inner: str
    """wood towards the handle"""
    outer: str
    """wood towards the blade"""
    outer_face: str
    """the face on whose side the outer wood lies"""
    inner_face: str
    """the face across it"""
    deep: bool
    """whether the plane lies across the size fore and aft; else across the size up and down"""
    toward: float
    """1 where the outer wood lies on the forward or upper side, else -1"""
    place: float
    """of the glue line, from the axis towards the forward or upper face [m]"""


def _wood(shaft: Shaft, x: float) -> str:
    return next(p.wood.name for p in reversed(shaft.pieces) if float(p.start) <= x + 1e-9)


def glued_at(shaft: Shaft, x: float) -> Glued | None:
    """Return how a scarf's plane cuts the section at a place; None where no scarf lies there."""
    j: Any = next((j for j in shaft.joints if j.kind == "scarf" and float(j.start) < x < float(j.end)), None)
    if j is None:
        return None
    deep, toward = float(j.through_depth) == 1.0, -float(j.face)
    faces = ("forward", "aft") if deep else ("upper", "lower")
    outer, inner = faces if toward > 0.0 else faces[::-1]
    return Glued(
        inner=_wood(shaft, float(j.start) - 1e-6),
        outer=_wood(shaft, float(j.end) - 1e-6),
        outer_face=outer,
        inner_face=inner,
        deep=deep,
        toward=toward,
        place=-float(j.slope) * (x - float(j.middle)) * toward,
    )


def crosscut(
    ax: Any, shaft: Shaft, x: float, sizes: tuple[float, float, float, float], at: tuple[float, float], per: float
) -> None:
    """Draw the section at a place, forward to the left and up upward.

    Parameters
    ----------
    sizes : fore and aft, up and down, wall [m], and exponent of its curve [-]; a wall without end is solid
    at : place of its middle on the page [in]
    per : of a metre on the page [in]
    """
    looks = wood_looks(shaft)
    (depth, width, wall), n, (cx, cy) = (v * per for v in sizes[:3]), sizes[3], at
    z, v = section_outline(depth, width, n)
    glued = glued_at(shaft, x)
    ax.fill(cx + z, cy - v, **looks[_wood(shaft, x) if glued is None else glued.inner], linewidth=0)
    if glued is not None:
        along, cut = (-z if glued.deep else v), glued.place * per
        part = np.maximum(along, cut) if glued.toward > 0.0 else np.minimum(along, cut)
        zz, vv = (-part, v) if glued.deep else (z, part)
        # the chord shuts the part that lies beyond the cut
        ax.fill(cx + zz, cy - vv, **looks[glued.outer], linewidth=0)
        half, chord = (depth / 2.0, width / 2.0) if glued.deep else (width / 2.0, depth / 2.0)
        n = min(n, 1e3)
        chord *= max(1.0 - abs(cut / half) ** n, 0.0) ** (1.0 / n)
        xs, ys = (
            ([cx - cut] * 2, [cy - chord, cy + chord]) if glued.deep else ([cx - chord, cx + chord], [cy - cut] * 2)
        )
        # of the order of what is filled, so that a bore lies over it
        ax.plot(xs, ys, color=INKS["ink"], linewidth=1.5, zorder=1)
    ax.fill(cx + z, cy - v, facecolor="none", edgecolor=INKS["ink"], linewidth=0.9)
    if wall < min(depth, width) / 2.0:
        z, v = section_outline(depth, width, sizes[3], wall)
        ax.fill(cx + z, cy - v, facecolor=INKS["paper"], edgecolor=INKS["ink"], linewidth=0.8)


def wood_key(ax: Any, shaft: Shaft, top: float, said: str = "", *, draw: bool = True) -> float:
    """Set a swatch and the name of each wood from `top` down, and a glue line's, and return where they end.

    Parameters
    ----------
    said : what is said beside them
    """
    looks = [*wood_looks(shaft).items()]
    glue = any(j.kind == "scarf" for j in shaft.joints)
    entries = [(clean(name, width=3.0, size=SMALL), look) for name, look in looks] + [("glue line", {})] * glue
    x, y = 0.05, top + 0.08
    for name, look in entries:
        wide = 0.4 + measure(name, SMALL) + 0.2
        if x > 0.05 and x + wide > WIDTH:
            x, y = 0.05, y + 0.17
        if draw:
            if look:
                box = [y - 0.055, y - 0.055, y + 0.055, y + 0.055]
                ax.fill([x, x + 0.32, x + 0.32, x], box, **look, edgecolor=INKS["ink"], linewidth=0.7)
            else:
                ax.plot([x, x + 0.32], [y, y], color=INKS["ink"], linewidth=1.5)
            write(ax, x + 0.38, y, name, SMALL, ha="left", va="center_baseline")
        x += wide
    if said and x + measure(said, SMALL) > WIDTH - RIGHT:
        y += 0.17
    if said and draw:
        write(ax, WIDTH - RIGHT, y, said, SMALL, ha="right", va="center_baseline", color=INKS["soft"])
    return y + 0.09
