"""Detail drawing of the lock: what it presses, how hard and on which face, and the section that is pressed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from shaftcheck.along import LockSeat
from shaftcheck.answer import Line, Oar
from shaftcheck.border.shown import System, show
from shaftcheck.show.crosscut import crosscut
from shaftcheck.show.marks import Label, lane, rows, span
from shaftcheck.show.style import INKS, LINE, PLAIN, SMALL, WIDTH, write
from shaftcheck.show.views import section_outline
from shaftcheck.show.window import Window, faces, foot, window

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["lock_drawn", "lock_words"]

_BESIDE = 2.3
"""room for the section, right of the shaft [in]"""
_DIRECTION = {"forward": (-1.0, 0.0), "aft": (1.0, 0.0), "upper": (0.0, 1.0), "lower": (0.0, -1.0)}
"""from the axis to a face on the page's section, forward to the left and up upward"""


def lock_drawn(oar: Oar, seat: LockSeat, lines: Sequence[Line], system: System, title: str) -> Figure:
    """Return the drawing of the lock: the shaft in it, and its section with what presses it."""

    def size(v: float) -> str:
        return show(v, "length", system)

    above = seat.face not in ("upper", "lower")
    half = max(1.1 * seat.length, 1.1 * max(seat.depth, seat.width))
    low, high = max(seat.place - half, 0.0), seat.place + half
    w = window(oar, low, high, above=above, head=0.62, below=0.7 + LINE * (1 + len(lines)), title=title,
               wide=WIDTH - _BESIDE + 0.6, tall=0.85)  # fmt: skip
    top, y = 0.3 if title else 0.05, w.view.y
    start, end = seat.place - seat.length / 2.0, seat.place + seat.length / 2.0
    h, thick = w.half / w.view.across, 0.14 / w.view.across
    for sign in (1.0, -1.0):
        u = [sign * h, sign * h, sign * (h + thick), sign * (h + thick)]
        w.view.fill([start, end, end, start], u, facecolor=INKS["metal"], hatch="\\\\\\\\", hatchcolor=INKS["soft"])
    lane(w.ax, w.view.to, rows([Label(seat.place, f"lock\n{size(seat.place)}")], w.view.to), top + 0.02,
         lambda x: y - w.half - 0.14)  # fmt: skip
    span(w.ax, w.view.to, start, end, y + w.half + 0.34, "")
    write(w.ax, float(w.view.to(end)) + 0.1, y + w.half + 0.34, f"presses {size(seat.length)}", PLAIN, ha="left")
    _section(w, oar, seat, size(seat.depth), size(seat.width), top)
    faces(w)
    said = [_force(seat, system), *(_against(line, system) for line in lines)]
    for k, text in enumerate(said):
        write(w.ax, 0.06, y + w.half + 0.6 + k * LINE, text, SMALL, ha="left", va="center_baseline")
    foot(w)
    return w.fig


def _force(seat: LockSeat, system: System) -> str:
    force = show(seat.force, "force", system, side="up")
    on = f" on the {seat.face} face" if seat.face else ""
    wall = "" if math.isnan(seat.wall) else f"; thinnest wall under it {show(seat.wall, 'length', system)}"
    return f"force of the lock: {force}{on}, under {seat.case_title}{wall}"


def _against(line: Line, system: System) -> str:
    if math.isnan(line.demand):
        return f"{line.check}: not known"
    there, may = (show(v, "stress", system) for v in (line.demand, line.capacity))
    return f"{line.check}: {there}, may be {may}, under {line.case_title}"


def _section(w: Window, oar: Oar, seat: LockSeat, depth: str, width: str, top: float) -> None:
    """Draw the section in the lock, and how the pressure is shared out over the half that is pressed."""
    station = min(oar.shaft.stations, key=lambda s: abs(float(s.x) - seat.place))
    per = min(1.0, 2.0 * w.half) / max(seat.depth, seat.width)
    z, v = section_outline(seat.depth * per, seat.width * per, float(station.exponent))
    cx, cy = WIDTH - 0.5 * _BESIDE + 0.1, w.view.y
    sizes = (seat.depth, seat.width, math.inf if math.isnan(seat.wall) else seat.wall, float(station.exponent))
    crosscut(w.ax, oar.shaft, seat.place, sizes, (cx, cy), per)
    if seat.face:
        across, up = _DIRECTION[seat.face]
        reach = np.hypot(z, v)
        share = np.maximum((z * across + v * up) / np.where(reach > 0.0, reach, 1.0), 0.0)
        some = z * across + v * up >= -1e-9
        out = 1.0 + 0.26 * share / np.where(reach > 0.0, reach, 1.0)
        order = np.argsort(np.arctan2(v * across - z * up, z * across + v * up)[some])
        zs, vs = (np.concatenate([(a * out)[some][order], a[some][order][::-1]]) for a in (z, v))
        w.ax.fill(cx + zs, cy - vs, facecolor=INKS["blade"], edgecolor=INKS["line"], linewidth=1.2, zorder=5)
    foot_y = cy + max(seat.width * per / 2.0, w.half)
    write(w.ax, cx, top + 0.1, "section in the lock;\nshaded: how it presses", SMALL, va="top")
    write(w.ax, cx, foot_y + 0.34, f"{depth} fore and aft,\n{width} up and down", SMALL, va="top")
    for x, text, side in ((-1.0, "forward", "right"), (1.0, "aft", "left")):
        write(w.ax, cx + x * (seat.depth * per / 2.0 + 0.34), cy, text, SMALL, ha=side, color=INKS["soft"])


def lock_words(seat: LockSeat, lines: Sequence[Line], system: System) -> str:
    """Return what the drawing shows."""
    depth, width, length, place = (show(v, "length", system) for v in (seat.depth, seat.width, seat.length, seat.place))
    out = [
        f"The shaft in its lock at {place} and its section there, {depth} fore and aft by {width} up and down. The "
        f"lock presses {length} of it, hardest in the middle of the face and not at all at its sides.",
        *(
            f"{text[0].upper()}{text[1:]}."
            for text in (_force(seat, system), *(_against(line, system) for line in lines))
        ),
    ]
    return " ".join(out)
