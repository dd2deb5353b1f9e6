"""Pictures of findings, in the look of all figures: lines and points, named bars, named ranges."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from shaftcheck.questions.question import Curve, Picture
from shaftcheck.show.marks import Label, Scale, key, lane, rows, tag
from shaftcheck.show.style import (
    INKS,
    LARGE,
    LINE,
    SMALL,
    WIDTH,
    clean,
    encode,
    figure,
    letters,
    measure,
    spread,
    write,
)

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["drawn", "save"]

_LOOKS: tuple[tuple[str, Any], ...] = (
    ("line", "-"), ("other", (0, (7, 2))), ("grain-1", (0, (2, 1.5))), ("ink", (0, (6, 1.5, 1.5, 1.5))),
    ("grain-4", (0, (10, 3))), ("soft", (0, (1, 1))),
)  # fmt: skip
"""of the curves, one after the other: colour and dashes, so that the dashes alone tell them apart"""
_SHAPES = ("o", "s", "^", "D", "v", "P")
_TALL = 2.4
"""of a picture's ground [in]"""
_CUT, _MORE = 2.5, 1.15
"""limits above which a picture is cut; where all lies higher, times the least of it"""


class _Ground:
    """The ground of a picture: where a value stands on the page, in inches."""

    def __init__(self, ax: Any, x: tuple[float, float], y: tuple[float, float], left: float, top: float) -> None:
        self.ax = ax
        self.left, self.right, self.top, self.foot = left, WIDTH - 0.25, top, top + _TALL
        self.x, self.low, self.high = x, *y
        k = (self.right - self.left) / (x[1] - x[0])
        self.to = Scale(k, self.left - x[0] * k)

    def y(self, value: Any) -> Any:
        """Return where a value stands, those above and below the ground at its edge."""
        v = np.clip(np.asarray(value, dtype=np.float64), self.low, self.high)
        return self.foot - (v - self.low) / (self.high - self.low) * _TALL

    def frame(self, x_label: str, y_label: str, *, levels: bool = True) -> None:
        """Draw levels where there are some, ticks, and what the axes are."""
        from matplotlib.ticker import MaxNLocator

        steps = [1, 2, 2.5, 5, 10]
        for v in MaxNLocator(nbins=5, steps=steps).tick_values(self.low, self.high) if levels else ():
            if self.low - 1e-9 <= v <= self.high + 1e-9:
                y = float(self.y(v))
                self.ax.plot([self.left, self.right], [y, y], color=INKS["rule"], linewidth=0.5, zorder=1)
                write(self.ax, self.left - 0.06, y, f"{v:g}", SMALL, ha="right", va="center_baseline")
        for v in MaxNLocator(nbins=8, steps=steps).tick_values(*self.x):
            if self.x[0] - 1e-9 <= v <= self.x[1] + 1e-9:
                x = float(self.to(v))
                self.ax.plot([x, x], [self.foot, self.foot + 0.05], color=INKS["ink"], linewidth=0.7)
                write(self.ax, x, self.foot + 0.08, f"{v:g}", SMALL, va="top")
        self.ax.plot([self.left, self.right], [self.foot, self.foot], color=INKS["ink"], linewidth=0.8)
        text = clean(x_label, width=self.right - self.left, size=SMALL)
        write(self.ax, (self.left + self.right) / 2.0, self.foot + 0.27, text, SMALL, va="top", color=INKS["soft"])
        text = clean(y_label, width=WIDTH - 0.5, size=SMALL)
        write(self.ax, 0.06, self.top - 0.14, text, SMALL, ha="left", va="center_baseline", color=INKS["soft"])


def _range(values: Sequence[Any], *, zero: bool) -> tuple[float, float]:
    v = np.concatenate([np.ravel(np.asarray(a, dtype=np.float64)) for a in values]) if values else np.zeros(1)
    v = v[np.isfinite(v)]
    low, high = (float(v.min()), float(v.max())) if len(v) else (0.0, 1.0)
    low = min(low, 0.0) if zero else low
    return (low, high) if high > low else (low - 0.5, high + 0.5)


def _heights(p: Picture) -> tuple[float, float]:
    """Return the range of y: all there is, but no more than a few times the limit where there is one."""
    values = [v for c in p.curves for v in (c.y, c.low, c.high) if v is not None] + [m.y for m in p.marks]
    low, high = _range(values + ([p.limit] if p.limit is not None else []), zero=True)
    if p.limit is not None and p.limit > 0.0:
        high = min(high, max(_CUT * p.limit, _MORE * _range(values, zero=False)[0]))
    return low - (0.04 * (high - low) if low < 0.0 else 0.0), high + 0.06 * (high - low)


def _curve(g: _Ground, c: Curve, look: tuple[str, Any], shape: str) -> None:
    colour = INKS[look[0]]
    x, y = np.asarray(c.x, dtype=np.float64), np.asarray(c.y, dtype=np.float64)
    if c.low is not None and c.high is not None:
        g.ax.fill_between(g.to(x), g.y(c.low), g.y(c.high), facecolor=colour, alpha=0.18, linewidth=0, zorder=2)
    if c.points:
        look_ = {"markersize": 4.5, "markerfacecolor": INKS["paper"], "markeredgecolor": colour}
        g.ax.plot(g.to(x), g.y(y), shape, markeredgewidth=1.0, zorder=4, **look_)
    else:
        shown = np.where(np.isposinf(y), g.high, np.where(np.isfinite(y), y, np.nan))
        g.ax.plot(g.to(x), g.y(shown), color=colour, linestyle=look[1], linewidth=1.9, zorder=4)


def _sample(ax: Any, c: Curve, look: tuple[str, Any], shape: str, x: float, y: float) -> None:
    """Draw a short piece of a curve's line, for what the lines mean."""
    if c.points:
        look_ = {"markersize": 4.5, "markerfacecolor": INKS["paper"], "markeredgecolor": INKS[look[0]]}
        ax.plot([x + 0.2], [y], shape, markeredgewidth=1.0, **look_)
    else:
        ax.plot([x, x + 0.42], [y, y], color=INKS[look[0]], linestyle=look[1], linewidth=1.9)


def _curves(ax: Any, p: Picture, top: float) -> float:
    """Draw lines and points with their stretches and marks from `top` down, and return where they end."""
    xs = (
        [c.x for c in p.curves]
        + [[m.x for m in p.marks]]
        + [[s.start for s in p.stretches], [s.end for s in p.stretches]]
    )
    x = _range([v for v in xs if len(v)], zero=False)
    if all(c.points for c in p.curves):
        room = 0.03 * (x[1] - x[0])
        x = x[0] - room, x[1] + room
    y = _heights(p)
    g = _Ground(ax, x, y, 0.75, 0.0)
    labels = [Label(m.x, clean(m.label, width=3.0, size=SMALL)) for m in p.marks if m.label]
    named = sorted({(s.good, s.label) for s in p.stretches if s.label}, reverse=True)
    placed = rows(labels, g.to) if labels else []
    ground = top + 0.3 + (len(placed) * 2.2 * LINE + 0.16 if placed else 0.0) + (0.24 if named else 0.0)
    g = _Ground(ax, x, y, 0.75, ground)
    names = dict(zip(named, letters(len(named)), strict=True))
    tags = []
    for s in p.stretches:
        a, b = (float(g.to(min(max(v, x[0]), x[1]))) for v in (s.start, s.end))
        look: dict[str, Any] = (
            {"facecolor": INKS["wood-3"], "linewidth": 0}
            if s.good
            else {"facecolor": INKS["blade"], "hatch": "////", "hatchcolor": INKS["rule"], "linewidth": 0}
        )
        ax.fill([a, b, b, a], [g.top, g.top, g.foot, g.foot], zorder=0, **look)
        if s.label:
            tags.append(((a + b) / 2.0, names[s.good, s.label]))
    tags.sort()
    for (at, name), place in zip(tags, spread([t[0] for t in tags], [0.165] * len(tags), g.left, g.right), strict=True):
        ax.plot([place, at], [ground - 0.05, ground], color=INKS["soft"], linewidth=0.6)
        tag(ax, place, ground - 0.13, name)
    g.frame(p.x_label, p.y_label, levels=bool(p.y_label)) if not (placed or named) else _framed(g, p, top)
    for i, c in enumerate(p.curves):
        _curve(g, c, _LOOKS[i % len(_LOOKS)], _SHAPES[i % len(_SHAPES)])
    if p.limit is not None:
        at = float(g.y(p.limit))
        ax.plot([g.left, g.right], [at, at], color=INKS["limit"], linewidth=1.8, linestyle=(0, (7, 2)), zorder=5)
        box = {"facecolor": INKS["paper"], "edgecolor": "none", "pad": 0.8}
        write(
            ax,
            g.right,
            at + 0.1,
            p.limit_label,
            SMALL,
            ha="right",
            weight="bold",
            color=INKS["limit"],
            bbox=box,
            zorder=6,
        )
    if placed:
        heights = {m.x: float(g.y(m.y)) for m in p.marks if m.label}
        lane(ax, g.to, placed, top + 0.22, lambda v: heights[v])
        for m in p.marks:
            look = {"markersize": 6, "markerfacecolor": INKS["mark"], "markeredgecolor": INKS["ink"]}
            ax.plot([float(g.to(m.x))], [float(g.y(m.y))], "D", zorder=7, **look)
    foot = g.foot + 0.5
    for i, c in enumerate(p.curves):
        if not p.y_label:  # y only tells the lines apart: each has its name beside it
            text = clean(c.label, width=WIDTH - 1.2, size=SMALL)
            start, below = float(g.to(np.nanmin(c.x))), float(g.y(np.nanmax(c.y))) + 0.14
            write(ax, start, below, text, SMALL, ha="left", va="center_baseline", zorder=6)
            continue
        _sample(ax, c, _LOOKS[i % len(_LOOKS)], _SHAPES[i % len(_SHAPES)], 0.1, foot + 0.08)
        write(
            ax, 0.62, foot + 0.08, clean(c.label, width=WIDTH - 0.7, size=SMALL), SMALL, ha="left", va="center_baseline"
        )
        foot += 0.17
    if p.stretches and not named:
        for good, text in ((True, "it holds here"), (False, "it does not")):
            if any(s.good == good for s in p.stretches):
                look = {"facecolor": INKS["wood-3" if good else "blade"], "edgecolor": INKS["soft"], "linewidth": 0.5}
                ax.fill([0.1, 0.52, 0.52, 0.1], [foot + 0.03, foot + 0.03, foot + 0.13, foot + 0.13], **look)
                write(ax, 0.62, foot + 0.08, text, SMALL, ha="left", va="center_baseline")
                foot += 0.17
    entries = [(n, clean(label, width=WIDTH - 0.5, size=SMALL, bold=good), good) for (good, label), n in names.items()]
    return key(ax, foot + 0.03, entries) if entries else foot + 0.05


def _framed(g: _Ground, p: Picture, top: float) -> None:
    """Draw the frame with what the y axis is above the labels."""
    g.frame(p.x_label, "", levels=bool(p.y_label))
    text = clean(p.y_label, width=WIDTH - 0.5, size=SMALL)
    write(g.ax, 0.06, top + 0.08, text, SMALL, ha="left", va="center_baseline", color=INKS["soft"])


def _names(ax: Any, names: Sequence[str], top: float, each: float) -> float:
    """Set names one below the other, and return where their column ends."""
    short = [clean(n, width=3.2, size=SMALL) for n in names]
    left = max((measure(n, SMALL) for n in short), default=0.0) + 0.16
    for i, n in enumerate(short):
        write(ax, left - 0.08, top + (i + 0.5) * each, n, SMALL, ha="right", va="center_baseline")
    return left


def _axis(ax: Any, left: float, foot: float, high: float, label: str) -> float:
    """Draw the scale below named lengths, and return how many inches one of their units is."""
    from matplotlib.ticker import MaxNLocator

    k = (WIDTH - 0.6 - left) / high
    for v in MaxNLocator(nbins=6, steps=[1, 2, 2.5, 5, 10]).tick_values(0.0, high):
        if 0.0 <= v <= high:
            ax.plot([left + v * k] * 2, [foot, foot + 0.05], color=INKS["ink"], linewidth=0.7)
            write(ax, left + v * k, foot + 0.08, f"{v:g}", SMALL, va="top")
    ax.plot([left, left + high * k], [foot, foot], color=INKS["ink"], linewidth=0.8)
    text = clean(label, width=WIDTH - 0.5, size=SMALL)
    write(ax, WIDTH - 0.25, foot + 0.27, text, SMALL, ha="right", va="top", color=INKS["soft"])
    return k


def _bars(ax: Any, p: Picture, top: float) -> float:
    """Draw named lengths from `top` down, each with its figure, and return where they end."""
    each, top = 0.24, top + 0.22
    left = _names(ax, [n for n, _ in p.bars], top, each)
    foot = top + len(p.bars) * each + 0.06
    finite = [v for _, v in p.bars if math.isfinite(v)]
    high = max([*finite, *([p.limit] if p.limit is not None else []), 1e-9]) * 1.02
    k = _axis(ax, left, foot, high, p.x_label)
    for i, (_, v) in enumerate(p.bars):
        y = top + i * each
        end = left + (min(max(v, 0.0), high) if not math.isnan(v) else 0.0) * k
        ax.fill([left, end, end, left], [y + 0.04, y + 0.04, y + 0.18, y + 0.18], facecolor=INKS["wood-2"],
                edgecolor=INKS["line"], hatch="/////", hatchcolor=INKS["grain-2"], linewidth=0.8)  # fmt: skip
        text = "not known" if math.isnan(v) else "without limit" if math.isinf(v) else f"{v:.3g}"
        box = {"facecolor": INKS["paper"], "edgecolor": "none", "pad": 0.4}
        at = min(end + 0.06, WIDTH - 0.06 - measure(text, SMALL))
        write(ax, at, y + 0.11, text, SMALL, ha="left", va="center_baseline", bbox=box, zorder=6)
    if p.limit is not None:
        x = left + p.limit * k
        ax.plot([x, x], [top - 0.06, foot], color=INKS["limit"], linewidth=1.8, linestyle=(0, (7, 2)), zorder=5)
        at = min(x, WIDTH - 0.1 - measure(p.limit_label, SMALL, bold=True) / 2.0)
        write(ax, at, top - 0.14, p.limit_label, SMALL, weight="bold", color=INKS["limit"])
    return foot + 0.46


def _spans(ax: Any, p: Picture, top: float) -> float:
    """Draw named ranges from `top` down: what to work to, and where they give way; return where they end."""
    each, top = 0.26, top + 0.1
    left = _names(ax, [s[0] for s in p.spans], top, each)
    foot = top + len(p.spans) * each + 0.06
    values = [v for s in p.spans for v in s[1:] if math.isfinite(v)]
    high = max([*values, *([p.limit] if p.limit is not None else []), 1e-9]) * 1.02
    k = _axis(ax, left, foot, high, p.x_label)

    def one(y: float, work_to: float, low: float, half: float, end: float) -> None:
        a, b = (left + min(v, high) * k for v in (low, end))
        ax.fill([a, b, b, a], [y - 0.05, y - 0.05, y + 0.05, y + 0.05], facecolor=INKS["blade"], edgecolor=INKS["ink"],
                linewidth=0.8)  # fmt: skip
        x = left + min(half, high) * k
        ax.plot([x, x], [y - 0.09, y + 0.09], color=INKS["ink"], linewidth=1.6)
        x = left + min(work_to, high) * k
        ax.plot([x], [y], ">", color=INKS["line"], markersize=7, markeredgewidth=0, zorder=5)

    for i, (_, *v) in enumerate(p.spans):
        if not any(math.isnan(x) for x in v):
            one(top + (i + 0.5) * each, *v)
    y = foot + 0.56
    for x, text in ((0.15, "work to this"), (1.6, "half would have given way"), (3.9, "9 of 10 give way between")):
        write(ax, x + 0.28, y, text, SMALL, ha="left", va="center_baseline")
    ax.plot([0.22], [y], ">", color=INKS["line"], markersize=7, markeredgewidth=0)
    ax.plot([1.75, 1.75], [y - 0.08, y + 0.08], color=INKS["ink"], linewidth=1.6)
    look = {"facecolor": INKS["blade"], "edgecolor": INKS["ink"], "linewidth": 0.8}
    ax.fill([3.85, 4.1, 4.1, 3.85], [y - 0.05, y - 0.05, y + 0.05, y + 0.05], **look)
    return y + 0.16


def _draw(ax: Any, p: Picture, top: float, *, title: bool) -> float:
    """Draw one picture from `top` down, and return where it ends."""
    if title:
        text = clean(p.title, width=WIDTH - 0.5, size=LARGE, bold=True)
        write(ax, 0.06, top + 0.12, text, LARGE, weight="bold", ha="left")
        top += 0.3
    how = _bars if p.bars else _spans if p.spans else _curves
    return how(ax, p, top + 0.02)


def drawn(pictures: Sequence[Picture], *, title: bool = True) -> Figure:
    """Return one figure of all pictures, one below the other.

    Parameters
    ----------
    title : whether each has its title on top
    """

    def all_of(ax: Any) -> float:
        y = 0.05
        for p in pictures:
            y = _draw(ax, p, y, title=title) + 0.1
        return y

    _, blank = figure(1.0)
    fig, ax = figure(all_of(blank))
    all_of(ax)
    return fig


def save(pictures: Sequence[Picture], path: Path) -> None:
    """Write the pictures to a new file, of the kind that its ending names.

    Raises
    ------
    FileExistsError
        if the file is there already.
    """
    content = encode(drawn(pictures), path.suffix.removeprefix(".").lower())  # type: ignore[arg-type]
    with path.open("xb") as f:
        f.write(content)
