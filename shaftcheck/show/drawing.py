"""The shaft drawn to scale from two sides, with its woods, joints, rig, sections and weakest place.

Seen from above, forward is up the page; seen from aft, up is up. The handle end is left. Along the shaft and across it
the scales differ by a whole number that stands on the drawing; the staff at its foot measures along.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from shaftcheck.along import Along, told_sizes, weakest
from shaftcheck.answer import Oar
from shaftcheck.border.shown import System, show
from shaftcheck.model import Hinged, OnePiece, Shaft
from shaftcheck.said import used
from shaftcheck.show.crosscut import crosscut, glued_at, wood_key
from shaftcheck.show.marks import Label, Scale, lane, plumb, rows, scale_of, span, staff
from shaftcheck.show.style import (
    INKS,
    LARGE,
    LINE,
    PLAIN,
    RIGHT,
    SMALL,
    WIDTH,
    clean,
    figure,
    letters,
    measure,
    spread,
    write,
)
from shaftcheck.show.views import View, edge, whole_view

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["drawn", "flag", "in_words", "stretched"]


# -------------------------------------------------------------------------------------------------------- its labels


def _rig_labels(shaft: Shaft, size: Callable[[float], str]) -> Iterator[Label]:
    r = shaft.rig
    yield Label(float(r.hand), f"hand\n{size(float(r.hand))}")
    if isinstance(r, OnePiece):
        yield Label(float(r.lock), f"lock\n{size(float(r.lock))}")
    else:
        for name, start, end, pin in (
            ("inner", r.inner_from, r.inner_to, r.inner_pin),
            ("outer", r.outer_from, r.outer_to, r.outer_pin),
        ):
            ends = [Label(float(v), f"{name} cradle\n{size(float(v))}") for v in (start, end)]
            yield ends[0] if name == "inner" else ends[1]
            yield Label(float(pin), f"{name} pin\n{size(float(pin))}")
        cut = size(float(r.saw))
        after = f" and {size(float(r.restart))}" if float(r.restart) > float(r.saw) else ""
        yield Label((float(r.saw) + float(r.restart)) / 2.0, f"halves end\n{cut}{after}")
    yield Label(float(shaft.blade.neck), f"neck\n{size(float(shaft.blade.neck))}")
    yield Label(float(shaft.blade.tip), f"tip\n{size(float(shaft.blade.tip))}")


def _joint_labels(shaft: Shaft, size: Callable[[float], str]) -> Iterator[Label]:
    for j in shaft.joints:
        start, end = float(j.start), float(j.end)
        if j.kind == "scarf":
            faces = ("forward", "aft") if float(j.through_depth) == 1.0 else ("upper", "lower")  # type: ignore[attr-defined]
            first, last = faces if float(j.face) < 0.0 else faces[::-1]  # type: ignore[attr-defined]
            yield Label(start, f"feather edge, {first} face\n{size(start)}")
            yield Label(end, f"feather edge, {last} face\n{size(end)}")
        elif j.kind == "takedown":
            at = float(j.at)  # type: ignore[attr-defined]
            yield Label(start, f"tube's mouth\n{size(start)}")
            yield Label(at, f"halves meet\n{size(at)}")
            yield Label(end, f"tube's mouth\n{size(end)}")
        else:
            yield Label(start, f"{j.kind} from\n{size(start)}")
            yield Label(end, f"{j.kind} to\n{size(end)}")
    for f in shaft.flaws:
        start, end = float(f.start), float(f.end)
        face = f"{f.kind}, {f.face} face" if f.face and f.face != "all round" else f.kind
        yield Label((start + end) / 2.0, f"{face}\n{size(start)} to {size(end)}")


def _spans(ax: Any, to: Scale, shaft: Shaft, y: float, size: Callable[[float], str]) -> float:
    """Draw the dimension lines from `y` down and return where they end."""
    r, tip = shaft.rig, float(shaft.blade.tip)
    if isinstance(r, OnePiece):
        parts = [(0.0, float(r.lock), "inboard"), (float(r.lock), tip, "outboard")]
    else:
        parts = [(0.0, float(r.saw), "inner half"), (float(r.restart), tip, "outer half")]
    short = [(float(j.start), float(j.end), j.kind) for j in shaft.joints]
    for a, b, name in (*short, (float(shaft.blade.neck), tip, "blade")):
        text = f"{name} {size(b - a)}"
        if measure(text, PLAIN) + 0.2 <= float(to(b) - to(a)):
            span(ax, to, a, b, y, text)
    for a, b, name in parts:
        span(ax, to, a, b, y + 0.2, f"{name} {size(b - a)}")
    span(ax, to, 0.0, tip, y + 0.4, f"over all {size(tip)}")
    return y + 0.52


# ------------------------------------------------------------------------------------------------------ the sections


def _station_marks(ax: Any, to: Scale, view: View, shaft: Shaft, foot: float) -> None:
    at = [float(s.x) for s in shaft.stations]
    names = letters(len(at))
    places = spread([float(to(v)) for v in at], [measure(n, SMALL, bold=True) + 0.05 for n in names], 0.1, WIDTH)
    for x, name, place in zip(at, names, places, strict=True):
        half = float(view.size(shaft, x)) / 2.0
        ax.plot([float(to(x)), place], [float(view.up(-half)) + 0.02, foot], color=INKS["soft"], linewidth=0.6)
        write(ax, place, foot + 0.01, name, SMALL, weight="bold", va="top")


def _sections(ax: Any, shaft: Shaft, top: float, size: Callable[[float], str]) -> float:
    """Draw the section at each station from `top` down and return where they end."""
    stations = shaft.stations
    most = max(max(float(s.depth), float(s.width)) for s in stations)
    texts = [f"{n}  {size(float(s.x))}" for n, s in zip(letters(len(stations)), stations, strict=True)]
    sizes = [
        size(float(s.depth))
        if float(s.depth) == float(s.width)
        else f"{size(float(s.depth))} by\n{size(float(s.width))}"
        for s in stations
    ]
    wide = max(max(measure(t, SMALL) for t in (*texts, *sizes)) + 0.12, 0.7)
    a_row = max(1, min(len(stations), int((WIDTH - 0.2) / wide)))
    per = 0.5 / most
    tall = 0.5 + 4.0 * LINE + 0.06
    for i, s in enumerate(stations):
        row, k = divmod(i, a_row)
        x, y = 0.1 + (WIDTH - 0.2) * (k + 0.5) / a_row, top + row * tall + 0.17 + 0.25
        sizes_ = (float(s.depth), float(s.width), float(s.wall), float(s.exponent))
        crosscut(ax, shaft, float(s.x), sizes_, (x, y), per)
        write(ax, x, y - 0.27, texts[i], SMALL, weight="bold", va="bottom")
        write(ax, x, y + 0.29, sizes[i], SMALL, va="top")
    return top + math.ceil(len(stations) / a_row) * tall


# -------------------------------------------------------------------------------------------------------- the figure


def flag(ax: Any, to: Scale, oar: Oar, y: float, system: System) -> None:
    """Draw the flag of the weakest place."""
    line = weakest(oar)
    if line is None or math.isnan(line.x):
        return
    text = f"weakest place {show(line.x, 'length', system)}: {line.check}, {used(line.use)}"
    half = measure(text, PLAIN, bold=True) / 2.0 + 0.07
    x = float(to(line.x))
    at = min(max(x, half + 0.04), WIDTH - half - 0.04)
    ax.fill(
        [at - half, at + half, at + half, x + 0.05, x, x - 0.05, at - half],
        [y, y, y + 0.2, y + 0.2, y + 0.27, y + 0.2, y + 0.2],
        facecolor=INKS["paper"], edgecolor=INKS["mark"], linewidth=1.4, zorder=7,
    )  # fmt: skip
    write(ax, at, y + 0.1, text, PLAIN, weight="bold", va="center_baseline", zorder=8)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A length of the shaft over which one face is stretched."""

    face: str
    start: float
    """[m]"""
    end: float
    """[m]"""
    words: str
    """in which half of a hinged rig, which face, and in what"""


def stretched(oar: Oar, a: Along) -> list[Stretch]:
    """Return which face is stretched from where to where, in each half of a hinged rig.

    That is under the case that governs; in the stroke where what governs belongs to no one case. It goes out from the
    weakest place, or from where the shaft is bent most.
    """
    line = weakest(oar)
    if line is None:
        return []
    i = oar.beam.case(line.case or "once")
    within = f"under: {line.case_title}" if line.case else "in the stroke"
    rig, neck = oar.shaft.rig, float(oar.shaft.blade.neck)
    parts = (
        [("inner half: ", 0.0, float(rig.saw)), ("outer half: ", float(rig.restart), neck)]
        if isinstance(rig, Hinged)
        else [("", 0.0, neck)]
    )
    ways = ((a.moment, ("aft", "forward")), (a.moment_up, ("lower", "upper")))
    out = []
    for half, first, last in parts:
        inside = (a.x >= first) & (a.x <= last)
        x = a.x[inside]
        fore, flat = (np.nan_to_num(m[i])[inside] for m, _ in ways)
        here = line.case and first <= line.x <= last
        k = int(np.abs(x - line.x).argmin()) if here else int(np.maximum(np.abs(fore), np.abs(flat)).argmax())
        m, faces = (fore, ways[0][1]) if abs(fore[k]) >= abs(flat[k]) else (flat, ways[1][1])
        same = np.sign(m) * np.sign(m[k]) * np.abs(m) > 0.1 * np.abs(m).max()
        if abs(m[k]) < 1e-6 or not same[k]:
            continue
        low, high = k, k
        while low > 0 and same[low - 1]:
            low -= 1
        while high < len(m) - 1 and same[high + 1]:
            high += 1
        face = faces[0 if m[k] > 0.0 else 1]
        words = f"{half}{face} face stretched {within}"
        out.append(Stretch(face=face, start=float(x[low]), end=float(x[high]), words=words))
    return out


_SECTIONS_LIE = "sections: forward to the left, up at the top"
_STRETCH = 0.3
"""room for a stretched face's mark and its words [in]"""


def _stretch(oar: Oar, found: Sequence[Stretch], views: Sequence[View]) -> None:
    """Mark each stretched face with a line that ends in two arrows, and say so."""
    for s in found:
        view = views[0] if s.face in ("forward", "aft") else views[1]
        sign = 1.0 if s.face in ("forward", "upper") else -1.0
        x, u = edge(oar.shaft, view, s.start, s.end)
        y = view.up(sign * u) - sign * (0.14 if isinstance(oar.shaft.rig, Hinged) else 0.085)
        view.ax.plot(view.to(x), y, color=INKS["line"], linewidth=1.8, solid_capstyle="butt", zorder=5)
        for at, toward, yy in ((s.start, "<", y[0]), (s.end, ">", y[-1])):
            view.ax.plot(
                [float(view.to(at))], [yy], toward, color=INKS["line"], markersize=5.5, markeredgewidth=0, zorder=5
            )
        low = float(view.to(s.start)) + 0.1
        at = min(low, WIDTH - measure(s.words, SMALL) - 0.05)
        yy = float(np.min(y) if sign > 0 else np.max(y)) - sign * 0.05
        box = {"facecolor": INKS["paper"], "edgecolor": "none", "pad": 0.8}
        write(view.ax, at, yy, s.words, SMALL, ha="left", va="bottom" if sign > 0 else "top", bbox=box, zorder=8)


def drawn(oar: Oar, a: Along, system: System, *, title: str = "") -> Figure:
    """Return the scale drawing of an oar from two sides with its sections.

    Parameters
    ----------
    title : set on top, for a drawing that stands alone
    """
    shaft, to = oar.shaft, scale_of(oar.shaft)
    faces = told_sizes(shaft, np.array([float(s.x) for s in shaft.stations]))
    tallest = max(float(np.max(faces[1])), float(shaft.blade.width))
    times = next((k for k in (3, 2) if tallest * to.per_metre * k <= 1.5), 1)
    across = to.per_metre * times

    def size(v: float) -> str:
        return show(v, "length", system)

    rig_rows = rows(list(_rig_labels(shaft, size)), to)
    joint_rows = rows(list(_joint_labels(shaft, size)), to) if shaft.joints or shaft.flaws else []
    y = 0.08 + (0.26 if title else 0.0)
    flag_at = y
    y += 0.33
    lane_at = y
    y += len(rig_rows) * 2.2 * LINE + 0.16
    half = float(np.max(faces[0])) / 2.0 * across + (0.16 if isinstance(shaft.rig, Hinged) else 0.1)
    found = stretched(oar, a)
    faces_ = [f.face for f in found]
    above = y + half + (_STRETCH if "forward" in faces_ else 0.0)
    y = above + half + 0.18
    middle_lane = y
    y += len(joint_rows) * 2.2 * LINE + (0.16 if joint_rows else 0.05)
    half = float(np.max(faces[1])) / 2.0 * across + 0.05
    aft = y + max(tallest / 2.0 * across, half + (_STRETCH if "upper" in faces_ else 0.0))
    marks_at = aft + half + (_STRETCH + 0.02 if "lower" in faces_ else 0.05)
    y = max(aft + tallest / 2.0 * across, marks_at + 0.12) + 0.14
    dims = y
    _, blank = figure(1.0)
    y += 0.55
    key_at = y
    y = wood_key(blank, shaft, y, _SECTIONS_LIE, draw=False) + 0.08 if _keyed(shaft, to) else y
    sections_at = y
    wide = _sections_height(shaft, size)
    y += wide + (0.06 + LINE if isinstance(shaft.rig, Hinged) else 0.06)
    staff_at = y
    y += 0.34
    fig, ax = figure(y)
    views = [
        View(ax=ax, to=to, y=above, across=across, above=True),
        View(ax=ax, to=to, y=aft, across=across, above=False),
    ]
    if title:
        title = clean(title, width=WIDTH - 0.2, size=LARGE, bold=True)
        write(ax, 0.08, 0.09, title, LARGE, weight="bold", ha="left", va="top")
    for view, name, up in zip(views, ("seen from\nabove", "seen from\naft"), ("forward", "up"), strict=True):
        whole_view(oar, view)
        write(ax, 0.05, view.y, name, SMALL, ha="left")
        write(ax, 0.05, view.y - 0.24, f"\u2191 {up}", SMALL, ha="left", color=INKS["soft"])
    lane(ax, to, rig_rows, lane_at, lambda x: float(views[0].up(_half(shaft, views[0], x))) - 0.02)
    if joint_rows:
        lane(ax, to, joint_rows, middle_lane, lambda x: float(views[1].up(_half(shaft, views[1], x))) - 0.02)
    _names(ax, to, shaft, views[0])
    _station_marks(ax, to, views[1], shaft, marks_at)
    _stretch(oar, found, views)
    _spans(ax, to, shaft, dims, size)
    if _keyed(shaft, to):
        wood_key(ax, shaft, key_at, _SECTIONS_LIE)
    _sections(ax, shaft, sections_at, size)
    staff(ax, to, staff_at, float(shaft.blade.tip), system)
    said = f"across drawn {times} times as large as along" if times > 1 else "one scale along and across"
    said = f"staff from the handle end; {said}"
    if isinstance(shaft.rig, Hinged):
        said = f"both halves drawn in one line; their pins stand {size(float(shaft.rig.spacing))} apart\n{said}"
    write(ax, WIDTH - RIGHT, staff_at - 0.06, said, SMALL, ha="right", va="bottom", color=INKS["soft"])
    line = weakest(oar)
    if line is not None and not math.isnan(line.x):
        plumb(ax, float(to(line.x)), flag_at + 0.26, dims - 0.04)
    flag(ax, to, oar, flag_at, system)
    return fig


def _sections_height(shaft: Shaft, size: Callable[[float], str]) -> float:
    _, ax = figure(1.0)
    return _sections(ax, shaft, 0.0, size)


def _half(shaft: Shaft, view: View, x: float) -> float:
    neck, tip = float(shaft.blade.neck), float(shaft.blade.tip)
    if x <= neck or view.above:
        return float(view.size(shaft, min(x, neck))) / 2.0 if x <= neck else 0.0
    return float(shaft.blade.width) / 2.0 * (1.0 if x < tip else 0.0)


def _named(shaft: Shaft, to: Scale) -> list[tuple[str, float | None]]:
    """Return the name of each piece's wood and the middle of its longest free length; None where the name is longer."""
    out: list[tuple[str, float | None]] = []
    for piece in shaft.pieces:
        start, end = float(piece.start), min(float(piece.end), float(shaft.blade.neck))
        taken = [(float(j.start), float(j.end)) for j in shaft.joints]
        r = shaft.rig
        taken += (
            [(float(r.lock) - 0.03, float(r.lock) + 0.03)]
            if isinstance(r, OnePiece)
            else [(float(r.inner_from), float(r.inner_to)), (float(r.outer_from), float(r.outer_to))]
        )
        free = [(start, end)]
        for a, b in taken:
            free = [part for p, q in free for part in ((p, min(q, a)), (max(p, b), q)) if part[1] - part[0] > 1e-6]
        p, q = max(free, key=lambda f: f[1] - f[0], default=(0.0, 0.0))
        name = clean(piece.wood.name)
        fits = measure(name, PLAIN) + 0.1 <= float(to(q) - to(p))
        out.append((name, (p + q) / 2.0 if fits else None))
    return out


def _keyed(shaft: Shaft, to: Scale) -> bool:
    """Return whether the woods have a key: more than one of them, a glue line, or one whose name finds no room."""
    named = _named(shaft, to)
    scarfed = any(j.kind == "scarf" for j in shaft.joints)
    return scarfed or len({name for name, _ in named}) > 1 or any(at is None for _, at in named)


def _names(ax: Any, to: Scale, shaft: Shaft, view: View) -> None:
    """Set the name of each wood on its longest free length."""
    for name, at in _named(shaft, to):
        if at is not None:
            box = {"facecolor": INKS["paper"], "edgecolor": "none", "pad": 1.0}
            write(ax, float(to(at)), view.y, name, PLAIN, bbox=box)


def in_words(oar: Oar, a: Along, system: System) -> str:
    """Return what the drawing shows, for those who do not see it."""
    shaft = oar.shaft

    def size(v: Any) -> str:
        return show(float(v), "length", system)

    woods = ", then ".join(f"{p.wood.name} to {size(p.end)}" for p in shaft.pieces)
    out = [f"The oar drawn from above and from aft, {size(shaft.blade.tip)} over all: {woods}."]
    out += [f"{label.text.replace(chr(10), ' at ')}." for label in _rig_labels(shaft, size)]
    out += [f"{label.text.replace(chr(10), ' at ')}." for label in _joint_labels(shaft, size)]
    sections = "; ".join(
        f"{size(s.depth)} fore and aft by {size(s.width)} up and down at {size(s.x)}" for s in shaft.stations
    )
    out.append(f"Sections: {sections}.")
    for name, s in zip(letters(len(shaft.stations)), shaft.stations, strict=True):
        glued = glued_at(shaft, float(s.x))
        if glued is not None:
            side = glued.outer_face if glued.place * glued.toward > 0.0 else glued.inner_face
            out.append(
                f"Section {name} at {size(s.x)} lies in a scarf: {glued.outer} of the outer piece on the "
                f"{glued.outer_face} side, {glued.inner} of the inner piece on the {glued.inner_face} side, the glue "
                f"line {size(abs(glued.place))} from the axis towards the {side} face."
            )
    line = weakest(oar)
    if line is not None:
        out.append(f"The weakest place is marked at {size(line.x)}.")
    for f in stretched(oar, a):
        out.append(f"{f.words[0].upper()}{f.words[1:]}, from {size(f.start)} to {size(f.end)}.")
    return " ".join(out)
