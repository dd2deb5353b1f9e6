"""The shaft as it is seen from one side: woods, scarfs, tubes, blade and rig, and the outline of a section."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from shaftcheck.along import told_sizes
from shaftcheck.answer import Oar
from shaftcheck.model import Array, Flaw, Hinged, OnePiece, Shaft
from shaftcheck.show.marks import Scale
from shaftcheck.show.style import HATCHES, INKS, WOODS

__all__ = ["View", "edge", "scarf_edges", "section_outline", "whole_view", "wood_looks"]


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """The shaft seen from one side, on the page."""

    ax: Any
    to: Scale
    y: float
    """of the axis [in]"""
    across: float
    """of a metre across the shaft [in]"""
    above: bool
    """seen from above, so that forward is up the page; else from aft"""

    def size(self, shaft: Shaft, x: Any) -> Array:
        """Return the size across that is seen [m]."""
        depth, width = told_sizes(shaft, np.asarray(x, dtype=np.float64))
        return depth if self.above else width

    def up(self, u: Any) -> Any:
        """Return where on the page a distance up it from the axis stands [m to in]."""
        return self.y - np.asarray(u) * self.across

    def fill(self, x: Any, u: Any, **look: Any) -> None:
        """Fill a closed line through places along the shaft and up the page [m]."""
        self.ax.fill(self.to(x), self.up(u), **({"linewidth": 0.9, "edgecolor": INKS["ink"]} | look))

    def line(self, x: Any, u: Any, **look: Any) -> None:
        """Draw a line through places along the shaft and up the page [m]."""
        look = {"color": INKS["ink"], "linewidth": 0.9, "solid_capstyle": "butt"} | look
        self.ax.plot(self.to(x), self.up(u), **look)


def wood_looks(shaft: Shaft) -> dict[str, dict[str, Any]]:
    """Return how each wood of a shaft is filled, by its name."""
    out: dict[str, dict[str, Any]] = {}
    for piece in shaft.pieces:
        i = len(out) % WOODS
        out.setdefault(
            piece.wood.name,
            {"facecolor": INKS[f"wood-{i + 1}"], "hatch": HATCHES[i], "hatchcolor": INKS[f"grain-{i + 1}"]},
        )
    return out


# ------------------------------------------------------------------------------------------------------- the shaft


def _edge_on(j: Any, view: View) -> bool:
    return (float(j.through_depth) == 1.0) == view.above


def _borders(shaft: Shaft, view: View) -> list[tuple[float, float]]:
    """Return where one wood ends on the upper and on the lower edge of a view, for each end of a piece but the last."""
    out = []
    for piece in shaft.pieces[:-1]:
        end = float(piece.end)
        scarf = next((j for j in shaft.joints if j.kind == "scarf" and float(j.start) <= end <= float(j.end)), None)
        if scarf is None:
            out.append((end, end))
            continue
        upper, lower = scarf_edges(scarf)
        # from above the upper face is seen, from aft the aft face
        seen = upper if view.above else lower
        out.append((upper, lower) if _edge_on(scarf, view) else (seen, seen))
    return out


def scarf_edges(j: Any) -> tuple[float, float]:
    """Return where the cut leaves the forward or upper face, and where the aft or lower one [m]."""
    start, end = float(j.start), float(j.end)
    return (start, end) if float(j.face) < 0.0 else (end, start)


def _gap(shaft: Shaft) -> tuple[float, float] | None:
    rig = shaft.rig
    return (float(rig.saw), float(rig.restart)) if isinstance(rig, Hinged) else None


def _lengths(shaft: Shaft) -> list[tuple[float, float]]:
    """Return from where to where there is shaft."""
    end, gap = float(shaft.stations[-1].x), _gap(shaft)
    return [(0.0, end)] if gap is None else [(0.0, gap[0]), (gap[1], end)]


def edge(shaft: Shaft, view: View, start: float, end: float) -> tuple[Array, Array]:
    """Return the upper edge of the shaft from one place to another, either way, with a point at each station."""
    low, high = min(start, end), max(start, end)
    inside = [float(s.x) for s in shaft.stations if low < float(s.x) < high]
    x = np.array([low, *inside, high])
    u = view.size(shaft, x) / 2.0
    return (x, u) if start <= end else (x[::-1], u[::-1])


def shaft_body(shaft: Shaft, view: View) -> None:
    """Draw the woods of a shaft with their borders, walls of what is hollow, and the planes of its scarfs."""
    looks = wood_looks(shaft)
    borders = _borders(shaft, view)
    last = float(shaft.stations[-1].x)
    lefts, rights = [(0.0, 0.0), *borders], [*borders, (last, last)]
    for piece, left, right in zip(shaft.pieces, lefts, rights, strict=True):
        for start, end in _lengths(shaft):
            clipped = [min(max(v, start), end) for v in (*left, *right)]
            if max(clipped[2:]) <= min(clipped[:2]):
                continue
            top, bottom = edge(shaft, view, clipped[0], clipped[2]), edge(shaft, view, clipped[3], clipped[1])
            x, u = np.concatenate([top[0], bottom[0]]), np.concatenate([top[1], -bottom[1]])
            view.fill(x, u, **looks[piece.wood.name])
    for start, end in _lengths(shaft):
        _walls(shaft, view, start, end)
    for j in shaft.joints:
        if j.kind == "scarf":
            upper, lower = scarf_edges(j)
            half = [float(view.size(shaft, v)) / 2.0 for v in (upper, lower)]
            if _edge_on(j, view):
                view.line([upper, lower], [half[0], -half[1]], linewidth=1.5)
            else:
                for v, h, seen in zip((upper, lower), half, (view.above, not view.above), strict=True):
                    view.line([v, v], [h, -h], linewidth=1.3 if seen else 0.8, linestyle="-" if seen else (0, (3, 2)))


def _walls(shaft: Shaft, view: View, start: float, end: float) -> None:
    """Draw the inside of what is hollow as hidden lines."""
    for a, b in zip(shaft.stations, shaft.stations[1:], strict=False):
        wall = min(float(a.wall), float(b.wall))
        x = np.clip([float(a.x), float(b.x)], start, end)
        if math.isinf(wall) or x[1] <= x[0]:
            continue
        inner = view.size(shaft, x) / 2.0 - wall
        if (inner > 0.0).all():
            for sign in (1.0, -1.0):
                view.line(x, sign * inner, linewidth=0.7, linestyle=(0, (3, 2)))


def blade(shaft: Shaft, view: View) -> None:
    """Draw the blade: its length and width as told, its outline a sketch."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    b = shaft.blade
    neck, tip = float(b.neck), float(b.tip)
    root = float(view.size(shaft, neck)) / 2.0
    long = tip - neck
    half = float(b.width) / 2.0 if not view.above else root * 0.22
    end = half * (0.82 if not view.above else 0.6)
    wide = neck + long * (0.74 if not view.above else 0.8)
    upper = [(neck, root), (neck + 0.3 * long, root), (neck + 0.4 * long, half), (wide, half)]
    upper += [(tip - 0.08 * long, half), (tip, end), (tip, 0.0)]
    points = [*upper, *((x, -u) for x, u in reversed(upper[:-1]))]
    codes = [Path.MOVETO, *[Path.CURVE4] * 12, Path.CLOSEPOLY]
    vertices = [(float(view.to(x)), float(view.up(u))) for x, u in points]
    patch = PathPatch(
        Path([*vertices, vertices[0]], codes), facecolor=INKS["blade"], edgecolor=INKS["ink"], linewidth=0.9
    )
    view.ax.add_patch(patch)


def rig(shaft: Shaft, view: View) -> None:
    """Draw what holds the shaft: the lock with its leather, or the cradles with their pins; and the hand."""
    r = shaft.rig
    lift = 0.03 / view.across
    if isinstance(r, OnePiece):
        x = np.array([-0.5, 0.5, 0.5, -0.5]) * max(float(r.seat), float(r.contact)) + float(r.lock)
        half = float(view.size(shaft, float(r.lock))) / 2.0
        for sign in (1.0, -1.0):
            near, far = sign * half, sign * (half + 1.6 * lift)
            view.fill(x, [near, near, far, far], facecolor=INKS["ink"], linewidth=0.4)
    else:
        for start, end, pin in (
            (r.inner_from, r.inner_to, r.inner_pin),
            (r.outer_from, r.outer_to, r.outer_pin),
        ):
            x = np.array([float(start), float(end), float(end), float(start)])
            half = float(np.max(view.size(shaft, x))) / 2.0
            for sign in (1.0, -1.0):
                near, far = sign * (half + 0.3 * lift), sign * (half + 3.0 * lift)
                view.fill(x, [near, near, far, far], facecolor=INKS["metal"], hatch="\\\\\\\\", hatchcolor=INKS["soft"])
            if view.above:
                view.ax.plot(view.to(float(pin)), view.y, "o", color=INKS["ink"], markersize=5.5, markeredgewidth=0)
                view.ax.plot(view.to(float(pin)), view.y, "o", color=INKS["paper"], markersize=2.2, markeredgewidth=0)
            else:
                view.line([float(pin)] * 2, [half + 6 * lift, -half - 6 * lift], linewidth=1.6, linestyle=(0, (6, 2)))
    hand = float(view.to(float(r.hand)))
    view.ax.plot([hand], [view.y], "+", color=INKS["ink"], markersize=6.0, markeredgewidth=1.0)


def _bolts(shaft: Shaft, view: View) -> None:
    """Draw the bolt through each half in its cradle, along the page or through it."""
    r = shaft.rig
    if not isinstance(r, Hinged) or math.isnan(float(r.bolt)):
        return
    for place in (float(r.inner_bolt), float(r.outer_bolt)):
        if math.isnan(place):
            continue
        half = max(float(r.bolt), 0.03 / view.to.per_metre) / 2.0
        if (float(r.bolt_fore) == 1.0) == view.above:
            deep = float(view.size(shaft, place)) / 2.0 + 0.14 / view.across
            x = [place - half, place + half, place + half, place - half]
            view.fill(x, [deep, deep, -deep, -deep], facecolor=INKS["metal"], linewidth=0.7)
        else:
            wide = max(4.0, 2.0 * half * view.to.per_metre * 72.0)
            look = {"markersize": wide, "markerfacecolor": INKS["metal"], "markeredgecolor": INKS["ink"]}
            view.ax.plot([float(view.to(place))], [view.y], "o", markeredgewidth=0.7, **look)


_ON_IT = ("leather", "ferrule")
"""what sits on the shaft and takes nothing from it"""


def flaw(f: Flaw, shaft: Shaft, view: View) -> None:
    """Draw what is wrong with the wood, or sits on it: cut into the edge that it is on, or outlined on its face."""
    least = 0.05 / view.to.per_metre
    middle = (float(f.start) + float(f.end)) / 2.0
    half = max(float(f.end) - float(f.start), least) / 2.0
    start, end = middle - half, middle + half
    x = [start, end, end, start]
    edge_ = float(view.size(shaft, middle)) / 2.0
    up, down = ("forward", "aft") if view.above else ("upper", "lower")
    deep = max(0.0 if math.isnan(float(f.depth)) else float(f.depth), 0.05 / view.across)
    for face, sign in ((up, 1.0), (down, -1.0)):
        if f.face not in (face, "all round"):
            continue
        on = f.kind in _ON_IT
        near, far = (edge_, edge_ + 0.03 / view.across) if on else (edge_, edge_ - deep)
        look = {"facecolor": INKS["ink"]} if on else {"facecolor": INKS["paper"], "hatch": "xxxxx"}
        view.fill(x, [sign * near] * 2 + [sign * far] * 2, hatchcolor=INKS["ink"], linewidth=0.8, **look)
    seen, hidden = ("upper", "lower") if view.above else ("aft", "forward")
    if f.face in (seen, hidden):
        wide = max(0.0 if math.isnan(float(f.width)) else float(f.width), 0.05 / view.across) / 2.0
        look = {"facecolor": INKS["paper"], "hatch": "xxxxx"} if f.face == seen else {"facecolor": "none"}
        dashes = "-" if f.face == seen else (0, (2, 2))
        view.fill(x, [wide, wide, -wide, -wide], hatchcolor=INKS["ink"], linewidth=0.8, linestyle=dashes, **look)


def sleeve(j: Any, view: View) -> None:
    """Draw the tube of a takedown joint over the shaft, and where the halves meet in it."""
    start, end, at = float(j.start), float(j.end), float(j.at)
    half, wall = float(j.size) / 2.0, float(j.wall)
    least = 0.03 / view.across
    x = [start, end, end, start]
    for sign in (1.0, -1.0):
        near, far = sign * half, sign * (half + max(wall, least))
        view.fill(x, [near, near, far, far], facecolor=INKS["metal"], linewidth=0.8)
    view.line([at, at], [half, -half], linewidth=1.5)


def _other_joint(j: Any, view: View) -> None:
    x = [float(j.start), float(j.end)]
    half = 0.09 / view.across
    view.line([x[0], x[1], x[1], x[0], x[0]], [half, half, -half, -half, half], linestyle=(0, (1, 1)))


_JOINTS: dict[str, Callable[[Any, View], None]] = {"scarf": lambda j, view: None, "takedown": sleeve}
"""how each kind of joint lies over the shaft; a scarf is drawn with the woods"""


def whole_view(oar: Oar, view: View) -> None:
    """Draw all of the oar that is seen from one side."""
    shaft = oar.shaft
    blade(shaft, view)
    shaft_body(shaft, view)
    for j in shaft.joints:
        _JOINTS.get(j.kind, _other_joint)(j, view)
    for f in shaft.flaws:
        flaw(f, shaft, view)
    rig(shaft, view)
    _bolts(shaft, view)


def section_outline(depth: float, width: float, exponent: float, inset: float = 0.0) -> tuple[Array, Array]:
    """Return a section's outline, forward to the left and up upward, of the measure of its sizes."""
    a, b = depth / 2.0, width / 2.0
    t = np.linspace(0.0, 2.0 * math.pi, 97)
    if math.isinf(exponent):
        z, y = np.array([-a, a, a, -a, -a]), np.array([b, b, -b, -b, b])
        return z + inset * np.array([1, -1, -1, 1, 1]), y + inset * np.array([-1, -1, 1, 1, -1])
    c, s = np.cos(t), np.sin(t)
    z, y = a * np.sign(c) * np.abs(c) ** (2 / exponent), b * np.sign(s) * np.abs(s) ** (2 / exponent)
    if inset == 0.0:
        return z, y
    gz, gy = np.sign(z) * np.abs(z / a) ** (exponent - 1) / a, np.sign(y) * np.abs(y / b) ** (exponent - 1) / b
    g = np.hypot(gz, gy)
    return z - inset * gz / g, y - inset * gy / g
