"""Pictures of findings (a user of matplotlib, without its global state)."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from shaftcheck.questions.question import Picture

__all__ = ["figure", "save"]

_LINES = ("-", "--", "-.", ":", (0, (5, 1, 1, 1, 1, 1)), (0, (8, 2)))
_COLOURS = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#56B4E9", "#E69F00")
"""told apart by colour-blind eyes (Okabe and Ito); the line's pattern says the same"""


def _draw(ax: Any, p: Picture) -> None:
    ax.set_title(p.title, loc="left")
    ax.set_xlabel(p.x_label)
    ax.set_ylabel(p.y_label)
    for s in p.stretches:
        ax.axvspan(s.start, s.end, color="#009E73" if s.good else "#999999", alpha=0.18, hatch=None if s.good else "//")
        ax.annotate(s.label, ((s.start + s.end) / 2.0, 1.0), xycoords=("data", "axes fraction"), ha="center", va="top",
                    fontsize="small", rotation=90)  # fmt: skip
    for i, c in enumerate(p.curves):
        style = {"marker": "o", "linestyle": "none"} if c.points else {"linestyle": _LINES[i % len(_LINES)]}
        ax.plot(c.x, c.y, color=_COLOURS[i % len(_COLOURS)], label=c.label, **style)
        if c.low is not None and c.high is not None:
            ax.fill_between(c.x, c.low, c.high, color=_COLOURS[i % len(_COLOURS)], alpha=0.2)
    if p.bars:
        names, lengths = zip(*p.bars, strict=True)
        ax.barh(range(len(names)), lengths, color=_COLOURS[0])
        ax.set_yticks(range(len(names)), names)
        ax.invert_yaxis()
    if p.spans:
        for i, (_, work_to, low, half, high) in enumerate(p.spans):
            ax.plot((low, high), (i, i), color=_COLOURS[1], linewidth=3, solid_capstyle="butt",
                    label="9 of 10 give way" if i == 0 else None)  # fmt: skip
            ax.plot(half, i, "D", color=_COLOURS[1], label="half would have given way" if i == 0 else None)
            ax.plot(work_to, i, ">", color=_COLOURS[0], markersize=9, label="work to this" if i == 0 else None)
        ax.set_yticks(range(len(p.spans)), [s[0] for s in p.spans])
        ax.set_xlim(left=0.0)
        ax.invert_yaxis()
        ax.legend(fontsize="small")
    if p.limit is not None:
        (ax.axvline if p.bars else ax.axhline)(p.limit, color="black", linewidth=1.5, label=p.limit_label or None)
    for m in p.marks:
        ax.plot(m.x, m.y, marker="D", color="black")
        ax.annotate(m.label, (m.x, m.y), xytext=(6, 6), textcoords="offset points")
    if p.curves or (p.limit is not None and p.limit_label):
        ax.legend(fontsize="small")


def figure(pictures: Sequence[Picture]) -> Any:
    """Return one matplotlib Figure of all pictures, one below the other."""
    from matplotlib.figure import Figure

    fig = Figure(figsize=(8.0, 4.5 * len(pictures)), layout="constrained")
    axes = fig.subplots(len(pictures), 1, squeeze=False)
    for ax, p in zip(axes[:, 0], pictures, strict=True):
        _draw(ax, p)
    return fig


def save(pictures: Sequence[Picture], path: Path) -> None:
    """Write the pictures to a new file, of the kind that its ending names.

    Raises
    ------
    FileExistsError
        if the file is there already.
    """
    with path.open("xb") as f:
        figure(pictures).savefig(f, format=path.suffix.removeprefix("."))
