"""Detail drawings, one to a joint, lock or cradle: how it lies in the shaft, and what it measures."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from shaftcheck.along import LOCK_CHECKS, joint_lines, joint_notes, lock_seat, seat_lines, told_sizes
from shaftcheck.answer import Line, Oar
from shaftcheck.border.shown import System, show
from shaftcheck.checks.joint import Note
from shaftcheck.model import Hinged, Shaft
from shaftcheck.said import Dimension, Side
from shaftcheck.show.crosscut import crosscut
from shaftcheck.show.lock_detail import lock_drawn, lock_words
from shaftcheck.show.marks import Label, lane, rows, span
from shaftcheck.show.style import INKS, LINE, PLAIN, SMALL, clean, measure, write
from shaftcheck.show.views import scarf_edges, sleeve
from shaftcheck.show.window import Window, faces, foot, window, worst_mark

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["Detail", "details"]

Size = Callable[..., str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Detail:
    """One joint, lock or cradle: what it is called, its drawing and what that shows, what stands with it."""

    title: str
    draw: Callable[[str], Figure]
    """takes a title to set on top, empty for a drawing inside a page"""
    says: str
    lines: tuple[Line, ...]
    notes: tuple[Note, ...]
    """what is told of it"""


def details(oar: Oar, system: System) -> tuple[Detail, ...]:
    """Return the details of an oar: its joints from the handle end on, then its lock or its cradles."""

    def size(v: Any, what: Dimension = "length", side: Side = "near") -> str:
        return show(float(v), what, system, side=side)

    out = []
    lines, notes = joint_lines(oar), joint_notes(oar)
    for i in sorted(range(len(oar.shaft.joints)), key=lambda i: float(oar.shaft.joints[i].start)):
        j = oar.shaft.joints[i]
        draw, says = _KINDS.get(j.kind, (_plain_joint, _plain_words))
        out.append(
            Detail(
                title=f"{j.kind.capitalize()} at {size(_middle(j))}",
                draw=lambda title, draw=draw, j=j, i=i: draw(oar, j, lines[i], size, title),  # type: ignore[misc]
                says=says(oar, j, size),
                lines=lines[i],
                notes=notes[i],
            )
        )
    if isinstance(oar.shaft.rig, Hinged):
        for which in ("inner", "outer"):
            mine = tuple(line for line in oar.lines if line.check.startswith(f"{which} cradle"))
            out.append(
                Detail(
                    title=f"{which.capitalize()} cradle",
                    draw=lambda title, which=which, mine=mine: _cradle(oar, which, mine, size, system, title),  # type: ignore[misc]
                    says=_cradle_words(oar, which, mine, size, system),
                    lines=mine,
                    notes=(),
                )
            )
    elif (seat := lock_seat(oar)) is not None:
        mine = tuple(line for line in oar.lines if line.check in LOCK_CHECKS)
        out.append(
            Detail(
                title=f"Lock at {size(seat.place)}",
                draw=lambda title: lock_drawn(oar, seat, mine, system, title),
                says=lock_words(seat, mine, system),
                lines=(),
                notes=(),
            )
        )
    return tuple(out)


def _middle(j: Any) -> float:
    return float(getattr(j, "middle", getattr(j, "at", (j.start + j.end) / 2.0)))


# ------------------------------------------------------------------------------------------------------------- scarf


def _woods_of(shaft: Shaft, j: Any) -> tuple[str, str]:
    """Return the wood on the inner and on the outer side of a joint."""

    def wood(x: float) -> str:
        return clean([p.wood.name for p in shaft.pieces if float(p.start) <= x + 1e-9][-1], width=2.2, size=PLAIN)

    return wood(float(j.start) - 1e-6), wood(float(j.end) + 1e-6)


def _tips(j: Any) -> tuple[str, str]:
    """Return the face on which the outer wood's feather edge lies, and that of the inner wood's."""
    edges = ("forward", "aft") if float(j.through_depth) == 1.0 else ("upper", "lower")
    return edges if float(j.face) < 0.0 else edges[::-1]


def _slope_words(j: Any) -> str:
    return f"1:{1.0 / float(j.slope):.3g}"


def _scarf(oar: Oar, j: Any, lines: Sequence[Line], size: Size, title: str) -> Figure:
    shaft = oar.shaft
    start, end = float(j.start), float(j.end)
    margin = 0.16 * (end - start)
    deep = float(j.through_depth) == 1.0
    w = window(oar, max(start - margin, 0.0), end + margin, above=deep, head=0.75, below=2.12, title=title)
    top, y = 0.3 if title else 0.05, w.view.y
    upper, lower = scarf_edges(j)
    inner, outer = _woods_of(shaft, j)
    first, last = _tips(j)
    labels = [
        Label(start, f"feather edge of the outer wood\non the {first} face, {size(start)}"),
        Label(end, f"feather edge of the inner wood\non the {last} face, {size(end)}"),
    ]
    half = {v: float(w.view.size(shaft, v)) / 2.0 for v in (upper, lower)}
    ends = {upper: float(w.view.up(half[upper])), lower: float(w.view.up(-half[lower]))}
    placed = rows(labels, w.view.to)
    lane(w.ax, w.view.to, placed, top + 0.02, lambda x: ends[x])
    if inner != outer:
        box = {"facecolor": INKS["paper"], "edgecolor": "none", "pad": 1.2}
        wide = measure(f"{inner} (inner)", PLAIN) / 2.0
        lean = 1.0 if upper < lower else -1.0
        y_in, y_out = y + lean * 0.55 * w.half, y - lean * 0.55 * w.half
        write(
            w.ax,
            float(w.view.to(start)) + max(0.1, 0.1 - wide) + wide,
            y_in,
            f"{inner} (inner)",
            PLAIN,
            bbox=box,
            zorder=7,
        )
        wide = measure(f"{outer} (outer)", PLAIN) / 2.0
        write(w.ax, float(w.view.to(end)) - 0.1 - wide, y_out, f"{outer} (outer)", PLAIN, bbox=box, zorder=7)
    below = y + w.half + 0.22
    span(w.ax, w.view.to, start, end, below, f"scarf {size(end - start)}")
    span(w.ax, w.view.to, start, float(j.middle), below + 0.22, size(float(j.middle) - start))
    span(w.ax, w.view.to, float(j.middle), end, below + 0.22, size(end - float(j.middle)))
    x = float(w.view.to(float(j.middle)))
    w.ax.plot([x, x], [y - 0.08, below + 0.28], color=INKS["soft"], linewidth=0.6, linestyle=(0, (1, 2)), zorder=1)
    write(w.ax, x, below + 0.36, f"mid-scarf {size(j.middle)}", SMALL)
    faces(w)
    worst_mark(w, lines, top + 0.5, below - 0.08, start, end)
    _scarf_sections(w, oar, j, below + 0.56, size)
    foot(w, f"slope {_slope_words(j)}: the cut rises 1 over a run of {1.0 / float(j.slope):.3g}; glue: {j.glue}")
    return w.fig


def _scarf_sections(w: Window, oar: Oar, j: Any, top: float, size: Size) -> None:
    """Draw the section near each tip and at the middle, with its part of each wood."""
    shaft = oar.shaft
    start, end = float(j.start), float(j.end)
    places = [start + t * (end - start) for t in (0.2, 0.5, 0.8)]
    per = 0.62 / float(np.max(np.stack(told_sizes(shaft, np.array(places)))))
    for x in places:
        depth, width = (float(v) for v in told_sizes(shaft, np.array(x)))
        station = min(shaft.stations, key=lambda s: abs(float(s.x) - x))
        cx, cy = float(w.view.to(x)), top + 0.36
        crosscut(w.ax, shaft, x, (depth, width, np.inf, float(station.exponent)), (cx, cy), per)
        write(w.ax, cx, cy + 0.38, f"section at\n{size(x)}", SMALL, va="top")


def _scarf_words(oar: Oar, j: Any, size: Size) -> str:
    first, last = _tips(j)
    inner, outer = _woods_of(oar.shaft, j)
    woods = inner if inner == outer else f"{inner} inboard and {outer} outboard"
    return (
        f"The scarf from the side that shows its plane: {woods}, slope {_slope_words(j)}, {size(j.end - j.start)} long "
        f"in the finished shaft. The outer wood's feather edge lies on the {first} face at {size(j.start)}, the inner "
        f"wood's on the {last} face at {size(j.end)}; the cut crosses the axis at {size(j.middle)}. Three sections "
        "show the part of each wood."
    )


# ---------------------------------------------------------------------------------------------------------- takedown


def _takedown(oar: Oar, j: Any, lines: Sequence[Line], size: Size, title: str) -> Figure:
    start, end, at, gap = (float(v) for v in (j.start, j.end, j.at, j.gap))
    margin = 0.2 * (end - start)
    fore = float(j.pin_fore) == 1.0
    w = window(oar, max(start - margin, 0.0), end + margin, above=fore, head=0.75, below=1.24, title=title)
    top, y = 0.3 if title else 0.05, w.view.y
    view = w.view
    half = float(j.size) / 2.0
    # inside the tube the wood is turned down to the tube's size: paper between it and the shaft's outside
    for sign in (1.0, -1.0):
        view.fill(
            [start, end, end, start], [sign * half] * 2 + [sign * half * 2.2] * 2, facecolor=INKS["paper"], linewidth=0
        )
    sleeve(j, view)
    if gap > 0.0:
        view.fill([at - gap / 2, at + gap / 2, at + gap / 2, at - gap / 2], [half, half, -half, -half],
                  facecolor=INKS["paper"], linewidth=0.8)  # fmt: skip
    labels = [
        Label(start, f"tube's mouth\n{size(start)}"),
        Label(at, f"halves meet\n{size(at)}"),
        Label(end, f"tube's mouth\n{size(end)}"),
    ]
    lane(w.ax, view.to, rows(labels, view.to), top + 0.02, lambda x: float(view.up(half)) - 0.05)
    if not math.isnan(float(j.pin)):
        pin = float(j.pin)
        for a, b in ((start, at - gap / 2), (at + gap / 2, end)):
            x, deep = (a + b) / 2.0, half + 0.06 / view.across
            least = max(pin, 0.03 / view.to.per_metre) / 2.0
            view.fill(
                [x - least, x + least, x + least, x - least],
                [deep, deep, -deep, -deep],
                facecolor=INKS["metal"],
                linewidth=0.7,
            )
    below = y + w.half + 0.25
    span(w.ax, view.to, start, at - gap / 2, below, f"inner half {size(j.inner)}")
    span(w.ax, view.to, at + gap / 2, end, below, f"outer half {size(j.outer)}")
    span(w.ax, view.to, start, end, below + 0.22, f"tube {size(end - start)}")
    tube = clean(j.tube, width=2.6, size=SMALL)
    wood, clear = size(j.size, "fit", "up"), size(j.clearance, "fit")
    said = [f"wood in the tube {wood}, wall {size(j.wall)}, clearance {clear}, {tube}"]
    if not math.isnan(float(j.pin)):
        n = int(float(j.pins))
        where = "anywhere in each overlap" if float(j.pin_anywhere) == 1.0 else "at mid-overlap"
        said.append(f"{n} {'pin' if n == 1 else 'pins'} of {size(j.pin)} in each half, {where}")
    if not math.isnan(float(j.plug)):
        said.append(f"a solid plug of {size(j.plug)} in each half, from its end")
    write(w.ax, 0.06, below + 0.46, "\n".join(said), SMALL, ha="left", va="top")
    faces(w)
    worst_mark(w, lines, top + 0.5, below - 0.08, start, end)
    foot(w)
    return w.fig


def _takedown_words(oar: Oar, j: Any, size: Size) -> str:
    pin = "" if math.isnan(float(j.pin)) else f", pins of {size(j.pin)}"
    return (
        f"The takedown joint cut along: a tube {size(j.end - j.start)} long with mouths at {size(j.start)} and "
        f"{size(j.end)}; the inner half stands {size(j.inner)} in it, the outer half {size(j.outer)}; they meet at "
        f"{size(j.at)}; wood inside {size(j.size, 'fit', 'up')}, wall {size(j.wall)}{pin}."
    )


# ------------------------------------------------------------------------------------------------------------ others


def _plain_joint(oar: Oar, j: Any, lines: Sequence[Line], size: Size, title: str) -> Figure:
    start, end = float(j.start), float(j.end)
    margin = 0.2 * (end - start)
    w = window(oar, max(start - margin, 0.0), end + margin, above=True, head=0.75, below=0.7, title=title)
    top, y = 0.3 if title else 0.05, w.view.y
    view = w.view
    h = (w.half + 0.06) / view.across
    view.line([start, end, end, start, start], [h, h, -h, -h, h], linestyle=(0, (2, 2)), linewidth=1.2)
    labels = [Label(start, f"{j.kind} from\n{size(start)}"), Label(end, f"{j.kind} to\n{size(end)}")]
    lane(w.ax, view.to, rows(labels, view.to), top + 0.02, lambda x: float(view.up(h)))
    span(w.ax, view.to, start, end, y + w.half + 0.25, f"{j.kind} {size(end - start)}")
    faces(w)
    foot(w)
    return w.fig


def _plain_words(oar: Oar, j: Any, size: Size) -> str:
    return f"The {j.kind} from above, from {size(j.start)} to {size(j.end)} from the handle end."


_KINDS: dict[str, tuple[Callable[..., Figure], Callable[..., str]]] = {
    "scarf": (_scarf, _scarf_words),
    "takedown": (_takedown, _takedown_words),
}


# ----------------------------------------------------------------------------------------------------------- cradles


def _of_cradle(oar: Oar, which: str) -> tuple[float, float, float, float]:
    """Return from, to, pin and mouth of a cradle [m]."""
    r: Any = oar.shaft.rig
    if which == "inner":
        return float(r.inner_from), float(r.inner_to), float(r.inner_pin), float(r.inner_from)
    return float(r.outer_from), float(r.outer_to), float(r.outer_pin), float(r.outer_to)


def _cradle(oar: Oar, which: str, lines: Sequence[Line], size: Size, system: System, title: str) -> Figure:
    start, end, pin, mouth = _of_cradle(oar, which)
    other = end if mouth == start else start
    margin = 0.45 * (end - start)
    low, high = (max(start - margin, 0.0), end) if which == "inner" else (start, end + margin)
    w = window(oar, low, high, above=True, head=0.85, below=1.95, title=title, whole=(other,))
    top, y = 0.3 if title else 0.05, w.view.y
    view = w.view
    h, thick = w.half / view.across, 0.16 / view.across
    liner = 0.035 / view.across
    for sign in (1.0, -1.0):
        u = [sign * h, sign * h, sign * (h + liner), sign * (h + liner)]
        view.fill([start, end, end, start], u, facecolor=INKS["ink"], linewidth=0.3)
        u = [sign * (h + liner), sign * (h + liner), sign * (h + thick), sign * (h + thick)]
        view.fill([start, end, end, start], u, facecolor=INKS["metal"], hatch="\\\\\\\\", hatchcolor=INKS["soft"])
    x = float(view.to(pin))
    w.ax.plot([x], [y], "o", color=INKS["ink"], markersize=11, zorder=6)
    w.ax.plot([x], [y], "o", color=INKS["paper"], markersize=4.5, zorder=6)
    bolt = float(getattr(oar.shaft.rig, "bolt", math.nan))
    at = float(getattr(oar.shaft.rig, f"{which}_bolt", math.nan))
    bolted = not (math.isnan(bolt) or math.isnan(at))
    if bolted:
        _bolt(w, oar, which, bolt, h + thick)
    both = bolted and abs(at - pin) < 1e-4
    labels = [
        Label(mouth, f"mouth\n{size(mouth)}"),
        Label(pin, f"{which} pin{f', bolt {size(bolt)}' if both else ''}\n{size(pin)}"),
        Label(other, f"half ends\n{size(other)}"),
        *([Label(at, f"bolt {size(bolt)}\n{size(at)}")] if bolted and not both else []),
    ]
    lane(
        w.ax,
        view.to,
        rows(labels, view.to),
        top + 0.02,
        lambda x: y - 0.1 if x in (pin, at) else float(view.up(h + thick)),
    )
    below = y + w.half + 0.34
    span(w.ax, view.to, start, end, below, f"clamped {size(end - start)}")
    _pressure(w, oar, which, lines, below + 0.26, system)
    faces(w)
    worst_mark(w, lines, top + 0.5, below - 0.08, start, end)
    foot(w)
    return w.fig


def _bolt(w: Window, oar: Oar, which: str, size: float, out: float) -> None:
    """Draw the bolt through a half in its cradle, seen from above."""
    rig: Any = oar.shaft.rig
    x = float(rig.inner_bolt if which == "inner" else rig.outer_bolt)
    if math.isnan(x):
        return
    half = max(size, 0.05 / w.view.to.per_metre) / 2.0
    if float(rig.bolt_fore) == 1.0:
        deep = out + 0.05 / w.view.across
        w.view.fill([x - half, x + half, x + half, x - half], [deep, deep, -deep, -deep], facecolor=INKS["metal"])
    else:
        wide = half * 2.0 * w.view.to.per_metre * 72.0
        look = {"markersize": wide, "markerfacecolor": INKS["metal"], "markeredgecolor": INKS["ink"]}
        w.ax.plot([float(w.view.to(x))], [w.view.y], "o", **look)


def _bearing(lines: Sequence[Line]) -> list[Line]:
    return [line for line in lines if "bearing" in line.check and not math.isnan(line.demand)]


def _pressure(w: Window, oar: Oar, which: str, lines: Sequence[Line], top: float, system: System) -> None:
    """Draw how a stiff half presses its cradle: on one side at the mouth, on the other at its end; and in figures."""
    found = seat_lines(oar, which)
    start, end, _, mouth = _of_cradle(oar, which)
    other = end if mouth == start else start
    if found is not None:
        at_mouth, at_end = found
        tall = 0.26 / max(at_mouth, at_end)
        base = top + 0.3
        a, b = float(w.view.to(mouth)), float(w.view.to(other))
        nil = a + (b - a) * at_mouth / (at_mouth + at_end) if at_mouth + at_end > 0.0 else b
        w.ax.fill(
            [a, nil, a],
            [base, base, base - at_mouth * tall],
            facecolor=INKS["blade"],
            edgecolor=INKS["line"],
            linewidth=1.4,
        )
        w.ax.fill(
            [b, nil, b],
            [base, base, base + at_end * tall],
            facecolor=INKS["blade"],
            edgecolor=INKS["line"],
            linewidth=1.4,
        )
        w.ax.plot([a, b], [base, base], color=INKS["ink"], linewidth=0.8)
        write(
            w.ax,
            (a + b) / 2.0,
            base + (0.24 if at_end < at_mouth else 0.4),
            "how a stiff seat is pressed",
            SMALL,
            color=INKS["soft"],
        )
    for k, line in enumerate(_bearing(lines)):
        there, may = (show(v, "stress", system) for v in (line.demand, line.capacity))
        text = f"{line.check.partition(', ')[2]}: {there}, may be {may}, under {line.case_title}"
        write(w.ax, 0.06, top + 0.82 + k * LINE, text, SMALL, ha="left", va="center_baseline")


def _cradle_words(oar: Oar, which: str, lines: Sequence[Line], size: Size, system: System) -> str:
    start, end, pin, mouth = _of_cradle(oar, which)
    out = [
        f"The {which} half in its cradle from above: clamped from {size(start)} to {size(end)}, {size(end - start)} "
        f"long, pin at {size(pin)}, mouth at {size(mouth)}. A stiff seat is pressed on one side at the mouth and on "
        "the other at the half's end."
    ]
    out += [
        f"{line.check}: {show(line.demand, 'stress', system)} of {show(line.capacity, 'stress', system)}."
        for line in _bearing(lines)
    ]
    return " ".join(out)
