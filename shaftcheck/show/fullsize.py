"""Figures at full size: a section with its eight-siding, a scarf's wedge, and a bar to check the printer by."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from shaftcheck.border.shown import System, show
from shaftcheck.marking import Gauge
from shaftcheck.show.style import COLOURS, SMALL, figure, write

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["bar", "finished", "oval", "wedge"]

INCH = 0.0254
ROOM = 0.62
"""about a section, for its sizes [in]"""
RUN = 0.160
"""of the wedge that is drawn [m]"""


def _ink(name: str = "ink") -> str:
    return COLOURS[name][0]


def finished(g: Gauge, size: float, system: System) -> str:
    """Return a size that a section is finished to, rounded up: of what goes into a tube, finely."""
    return show(size, "length" if g.turned is None else "fit", system, side="up")


def oval(g: Gauge, system: System) -> Figure:
    """Return a section at full size, looked at from the handle end, forward to the left, blade upright."""
    depth, width = g.depth / INCH, g.width / INCH
    total = max(depth + 2.0 * ROOM, 2.9)
    fig, ax = figure(width + 2.0 * ROOM, width=total)
    cx, cy = total / 2.0, width / 2.0 + ROOM
    u, v = _outline(g.exponent)
    ax.fill(cx + u * depth / 2.0, cy + v * width / 2.0, facecolor="none", edgecolor=_ink(), linewidth=1.1)
    _square(ax, cx, cy, depth, width)
    if math.isfinite(g.wall) and 2.0 * g.wall < min(g.depth, g.width):
        x, y = depth / 2.0 - g.wall / INCH, width / 2.0 - g.wall / INCH
        ax.fill(cx + u * x, cy + v * y, facecolor="none", edgecolor=_ink(), linewidth=0.9)
        write(ax, cx, cy - 0.1, f"wall {show(g.wall, 'length', system)}", SMALL)
    a, b = g.from_edge_depth / INCH, g.from_edge_width / INCH
    if a > 1e-9:
        x, y = depth / 2.0, width / 2.0
        corners = [
            (-x + a, -y),
            (x - a, -y),
            (x, -y + b),
            (x, y - b),
            (x - a, y),
            (-x + a, y),
            (-x, y - b),
            (-x, -y + b),
        ]
        px, py = zip(*((cx + i, cy + k) for i, k in [*corners, corners[0]]), strict=True)
        ax.plot(px, py, color=_ink("soft"), linewidth=0.8, linestyle=(0, (5, 3)))
        write(ax, cx, cy + y + 0.14, f"{finished(g, g.depth, system)} fore and aft; lines in from the edges "
              f"{show(g.from_edge_depth, 'length', system, side='down')}", SMALL)  # fmt: skip
        write(ax, cx, cy + y + 0.31, f"{finished(g, g.width, system)} up and down; lines in from the edges "
              f"{show(g.from_edge_width, 'length', system, side='down')}", SMALL)  # fmt: skip
    else:
        write(ax, cx, cy + width / 2.0 + 0.14, f"{finished(g, g.depth, system)} fore and aft by "
              f"{finished(g, g.width, system)} up and down", SMALL)  # fmt: skip
    inside = "" if g.turned is None else ", in the tube"
    write(ax, cx, cy - width / 2.0 - 0.3, f"{show(g.x, 'length', system)} from the handle end{inside}", SMALL,
          weight="bold")  # fmt: skip
    write(ax, cx, cy - width / 2.0 - 0.13, "up", SMALL)
    write(ax, cx - depth / 2.0 - 0.08, cy, "forward", SMALL, rotation=90, ha="right")
    write(ax, cx + depth / 2.0 + 0.08, cy, "aft", SMALL, rotation=90, ha="left")
    return fig


def _outline(exponent: float) -> tuple[Any, Any]:
    """Return the curve |u|^n + |v|^n = 1, once round."""
    if math.isinf(exponent):
        return np.array([-1.0, 1.0, 1.0, -1.0]), np.array([-1.0, -1.0, 1.0, 1.0])
    t = np.linspace(0.0, 2.0 * np.pi, 241)
    c, s = np.cos(t), np.sin(t)
    return np.sign(c) * np.abs(c) ** (2.0 / exponent), np.sign(s) * np.abs(s) ** (2.0 / exponent)


def _square(ax: Any, cx: float, cy: float, depth: float, width: float) -> None:
    """Draw the blank about a section, and its centre lines, which run out beyond it."""
    x, y = depth / 2.0, width / 2.0
    ax.plot([cx - x, cx + x, cx + x, cx - x, cx - x], [cy - y, cy - y, cy + y, cy + y, cy - y], color=_ink("soft"),
            linewidth=0.5)  # fmt: skip
    ax.plot([cx - x - 0.06, cx + x + 0.06], [cy, cy], color=_ink("soft"), linewidth=0.5, linestyle=(0, (8, 2, 2, 2)))
    ax.plot([cx, cx], [cy - y - 0.06, cy + y + 0.06], color=_ink("soft"), linewidth=0.5, linestyle=(0, (8, 2, 2, 2)))


def wedge(slope: float, system: System) -> Figure:
    """Return a scarf's wedge at full size, as far as a sheet of paper reaches.

    Parameters
    ----------
    slope : rise over run in the blank [-]
    """
    run, rise = RUN / INCH, RUN * slope / INCH
    fig, ax = figure(rise + 0.75, width=run + 0.4)
    x, y = 0.2, 0.15
    ax.fill([x, x + run, x + run], [y + rise, y + rise, y], facecolor="none", edgecolor=_ink(), linewidth=1.1)
    write(ax, x + run / 2.0, y + rise + 0.18, f"run {show(RUN, 'length', system, side='up')}, rise "
          f"{show(RUN * slope, 'length', system, side='down')}: {show(slope, 'slope', system)}", SMALL)  # fmt: skip
    write(ax, x + run / 2.0, y + rise + 0.37, "longer: carry the slanted line on", SMALL)
    return fig


def bar(system: System) -> Figure:
    """Return a bar of 100 mm, or of 4 in where sizes are in inches, to lay a rule on."""
    length, parts, unit = (100.0 / 25.4, 10, "100 mm") if system == "metric" else (4.0, 8, "4 in")
    fig, ax = figure(0.5, width=length + 0.6)
    ax.plot([0.3, 0.3 + length], [0.18, 0.18], color=_ink(), linewidth=1.2, solid_capstyle="butt")
    for i in range(parts + 1):
        x = 0.3 + length * i / parts
        tall = 0.13 if i in (0, parts) else 0.06
        ax.plot([x, x], [0.18 - tall, 0.18 + tall], color=_ink(), linewidth=0.8, solid_capstyle="butt")
    write(ax, 0.3 + length / 2.0, 0.4, f"must measure {unit}: print at 100 %, never fitted to the page", SMALL)
    return fig
