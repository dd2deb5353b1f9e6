"""What stands beside a drawing: labels that keep clear of each other, dimension lines, the staff, the plumb line."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from shaftcheck.border.shown import System
from shaftcheck.model import Shaft
from shaftcheck.show.style import GAP, INKS, LEFT, LINE, PLAIN, RIGHT, SMALL, WIDTH, measure, spread, write

__all__ = ["Label", "Scale", "key", "lane", "plumb", "rows", "scale_of", "span", "staff", "tag"]


@dataclass(frozen=True, slots=True)
class Scale:
    """Where a place along the shaft stands on the page, in inches."""

    per_metre: float
    left: float

    def __call__(self, x: Any) -> Any:
        """Return the place on the page of a place along the shaft [m]."""
        return self.left + np.asarray(x) * self.per_metre


def scale_of(shaft: Shaft) -> Scale:
    """Return the scale along the shaft that every figure shares."""
    return Scale((WIDTH - LEFT - RIGHT) / float(shaft.blade.tip), LEFT)


@dataclass(frozen=True, slots=True)
class Label:
    """Words that belong to a place along the shaft."""

    x: float
    """place along the shaft [m]"""
    text: str


def rows(labels: Sequence[Label], to: Scale) -> list[list[tuple[Label, float]]]:
    """Return labels in rows, each with its place on the page: as few rows as keep labels near their places."""
    labels = sorted(labels, key=lambda label: label.x)
    widths = [measure(label.text, SMALL) + GAP for label in labels]
    low, high = 0.06, WIDTH - 0.04
    for count in (1, 2, 3):
        rows = []
        far = 0.0
        for k in range(count):
            some = [i for i in range(len(labels)) if i % count == k]
            at = spread([float(to(labels[i].x)) for i in some], [widths[i] for i in some], low, high)
            far = max([far, *(abs(p - float(to(labels[i].x))) for i, p in zip(some, at, strict=True))])
            rows.append([(labels[i], p) for i, p in zip(some, at, strict=True)])
        if far < 2.0:
            break
    return rows


def lane(
    ax: Any, to: Scale, labels: list[list[tuple[Label, float]]], top: float, ends: Callable[[float], float]
) -> None:
    """Draw rows of labels from `top` down, each with a line to its place."""
    foot = top + len(labels) * 2.2 * LINE + 0.1
    box = {"facecolor": INKS["paper"], "edgecolor": "none", "pad": 0.8}
    for k, row in enumerate(labels):
        y = top + k * 2.2 * LINE
        for label, at in row:
            write(ax, at, y, label.text, SMALL, va="top", bbox=box, zorder=8)
            x = float(to(label.x))
            ax.plot(
                [at, at, x, x], [y + 2.05 * LINE, foot - 0.1, foot, ends(label.x)], color=INKS["soft"], linewidth=0.6
            )


def plumb(ax: Any, x: float, top: float, bottom: float) -> None:
    """Draw the line that marks the weakest place through a figure."""
    ax.plot([x, x], [top, bottom], color=INKS["mark"], linewidth=1.3, linestyle=(0, (5, 2, 1, 2)), zorder=6)


def staff(ax: Any, to: Scale, y: float, end: float, system: System) -> None:
    """Draw a measuring staff from the handle end to the tip: blocks of 100 mm or of 3 inches, figures at every fifth
    block or at every foot."""
    step, every = (0.1, 5) if system == "metric" else (0.0762, 4)
    tall = 0.07
    n = math.ceil(end / step - 1e-9)
    for i in range(n):
        a, b = float(to(i * step)), float(to(min((i + 1) * step, end)))
        look = {"facecolor": INKS["ink" if i % 2 else "paper"], "edgecolor": INKS["ink"], "linewidth": 0.6}
        ax.fill([a, b, b, a], [y, y, y + tall, y + tall], **look)
    for i in range(0, math.floor(end / step + 1e-9) + 1, every):
        x = float(to(i * step))
        ax.plot([x, x], [y + tall, y + tall + 0.05], color=INKS["ink"], linewidth=0.7)
        text = ("0 mm" if i == 0 else f"{i * 100}") if system == "metric" else f"{i // every} ft"
        write(ax, x, y + tall + 0.07, text, SMALL, va="top")


def span(ax: Any, to: Scale, a: float, b: float, y: float, text: str) -> None:
    """Draw a dimension line with its figure on it."""
    from matplotlib.patches import FancyArrowPatch

    xa, xb = float(to(a)), float(to(b))
    for x in (xa, xb):
        ax.plot([x, x], [y - 0.05, y + 0.05], color=INKS["ink"], linewidth=0.7)
    look: Any = {
        "arrowstyle": "<|-|>",
        "mutation_scale": 6,
        "linewidth": 0.7,
        "color": INKS["ink"],
        "shrinkA": 0,
        "shrinkB": 0,
    }
    ax.add_patch(FancyArrowPatch((xa, y), (xb, y), **look))
    box = {"facecolor": INKS["paper"], "edgecolor": "none", "pad": 1.2}
    write(ax, (xa + xb) / 2.0, y, text, PLAIN, bbox=box)


def tag(ax: Any, x: float, y: float, text: str, *, heavy: bool = False) -> None:
    """Draw a number or letter in a ring."""
    ax.plot([x], [y], "o", markersize=10.5, markerfacecolor=INKS["line" if heavy else "paper"],
            markeredgecolor=INKS["line" if heavy else "soft"], markeredgewidth=0.7, zorder=8)  # fmt: skip
    colour = INKS["paper" if heavy else "ink"]
    write(
        ax, x, y, text, SMALL - 1.2, va="center_baseline", zorder=9, color=colour, weight="bold" if heavy else "normal"
    )


def key(ax: Any, top: float, entries: Sequence[tuple[str, str, bool]], *, draw: bool = True) -> float:
    """Set what numbers or letters mean in columns from `top` down, and return where they end."""
    widths = [0.2 + measure(text, SMALL, bold=main) + 0.15 for _, text, main in entries]
    columns = max(1, min(3, int((WIDTH - 0.1) / max(widths, default=1.0))))
    each = math.ceil(len(entries) / columns)
    for i, (name, text, main) in enumerate(entries):
        column, row = divmod(i, each)
        x, y = 0.12 + column * (WIDTH - 0.1) / columns, top + row * 0.158 + 0.08
        if draw:
            tag(ax, x, y, name, heavy=main)
            write(ax, x + 0.12, y, text, SMALL, ha="left", va="center_baseline", weight="bold" if main else "normal")
    return top + each * 0.158 + 0.03
