"""A length of the shaft drawn large: the frame of every detail drawing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from shaftcheck.along import told_sizes
from shaftcheck.answer import Line, Oar
from shaftcheck.show.marks import Scale, plumb
from shaftcheck.show.style import INKS, LARGE, SMALL, WIDTH, clean, figure, write
from shaftcheck.show.views import View, shaft_body

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["Window", "faces", "foot", "window", "worst_mark"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """A length of the shaft drawn large."""

    fig: Figure
    ax: Any
    """over the whole figure"""
    view: View
    times: int
    """how many times larger across than along"""
    left: float
    right: float
    half: float
    """half the height of the shaft on the page [in]"""
    woods: str
    """their names, from the handle end on"""


def window(
    oar: Oar,
    start: float,
    end: float,
    *,
    above: bool,
    head: float,
    below: float,
    title: str,
    whole: Sequence[float] = (),
    wide: float = WIDTH,
    tall: float = 1.3,
) -> Window:
    """Open a window on the shaft from one place to another, with room over it and below it [in].

    The shaft is broken off at the window's ends but for those in `whole`, where it ends. It takes no more
    of the figure than `wide`, and the shaft is at most `tall` [in].
    """
    shaft = oar.shaft
    size = float(np.max(told_sizes(shaft, np.linspace(start, end, 33))[0 if above else 1]))
    left = 0.75
    per_metre = min((wide - 2 * left) / (end - start), tall / size)
    right = left + (end - start) * per_metre
    times = max(1, math.floor(0.9 / (size * per_metre) + 0.2))
    across = per_metre * times
    half = size / 2.0 * across
    y = head + half + (0.3 if title else 0.05)
    height = y + half + below
    fig, ax = figure(height)
    pane = fig.add_axes(
        (left / WIDTH, 1.0 - (y + half + 0.35) / height, (right - left) / WIDTH, (2 * half + 0.7) / height)
    )
    pane.set(xlim=(left, right), ylim=(y + half + 0.35, y - half - 0.35))
    pane.set_axis_off()
    pane.set_zorder(-1)
    view = View(ax=pane, to=Scale(per_metre, left - start * per_metre), y=y, across=across, above=above)
    shaft_body(shaft, view)
    for x in (left, right):
        place = start if x == left else end
        h = float(view.size(shaft, place)) / 2.0 * across
        if place in whole:
            ax.plot([x, x], [y - h, y + h], color=INKS["ink"], linewidth=1.2, zorder=6)
        elif 0.0 < place < float(shaft.stations[-1].x):
            t = np.linspace(-1.0, 1.0, 33)
            wave = x + 0.05 * np.sin(t * math.pi * 1.5)
            ax.plot(wave, y + t * (h + 0.05), color=INKS["ink"], linewidth=0.9, zorder=6)
    if title:
        text = clean(title, width=WIDTH - 0.2, size=LARGE, bold=True)
        write(ax, 0.08, 0.09, text, LARGE, weight="bold", ha="left", va="top")
    pieces = [p for p in shaft.pieces if float(p.start) < end - 1e-9 and float(p.end) > start + 1e-9]
    woods = ", then ".join(clean(name, width=2.2, size=SMALL) for name in dict.fromkeys(p.wood.name for p in pieces))
    return Window(fig=fig, ax=ax, view=view, times=times, left=left, right=right, half=half, woods=woods)


def faces(w: Window) -> None:
    """Name the faces that are the upper and the lower edge of the window."""
    up, down = ("forward face", "aft face") if w.view.above else ("upper face", "lower face")
    write(w.ax, 0.06, w.view.y - w.half, up.replace(" ", "\n"), SMALL, ha="left")
    write(w.ax, 0.06, w.view.y + w.half, down.replace(" ", "\n"), SMALL, ha="left")


def foot(w: Window, text: str = "") -> None:
    """Say at the foot of the figure how it is drawn, and what is told besides; else of what wood it is."""
    y = w.ax.get_ylim()[0] - 0.06
    said = f"across drawn {w.times} times as large as along" if w.times > 1 else "one scale along and across"
    write(w.ax, WIDTH - 0.06, y, said, SMALL, ha="right", va="bottom", color=INKS["soft"])
    if text or w.woods:
        write(w.ax, 0.06, y, text or w.woods, SMALL, ha="left", va="bottom", color=INKS["soft"])


def worst(lines: Sequence[Line]) -> Line | None:
    return max((line for line in lines if line.use > 0.0), key=lambda line: line.use, default=None)


def worst_mark(w: Window, lines: Sequence[Line], top: float, foot: float, start: float, end: float) -> None:
    """Mark where the joint's own worst check is."""
    line = worst(lines)
    if line is not None and start <= line.x <= end:
        plumb(w.ax, float(w.view.to(line.x)), top, foot)
