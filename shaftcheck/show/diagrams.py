"""Along the shaft, one below the other: moment, shear, fibre stress against its limits, and the use of each check.

Every load case is drawn and carries its number. Heavy in all four is the worst comparison that belongs to one case, and
that case; where the weakest place is of no one case, the key says so. Full lines are fore and aft, dashed ones up and
down, the weight in. Checks carry letters. What numbers and letters mean stands below.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from shaftcheck.along import Along, Course, told_sizes, weakest, worst_of_a_case
from shaftcheck.answer import Oar
from shaftcheck.border.shown import System, show
from shaftcheck.border.units import factor
from shaftcheck.model import Array, Hinged
from shaftcheck.said import percent
from shaftcheck.show.crosscut import wood_key
from shaftcheck.show.marks import Scale, key, plumb, scale_of, staff, tag
from shaftcheck.show.style import (
    INKS,
    LARGE,
    LEFT,
    LINE,
    PLAIN,
    SMALL,
    WIDTH,
    clean,
    figure,
    letters,
    measure,
    spread,
    write,
)
from shaftcheck.show.views import View, whole_view, wood_looks

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["diagrams", "in_words"]

_UNITS: dict[System, dict[str, tuple[str, str]]] = {
    "metric": {"moment": ("N m", "N*m"), "force": ("N", "N"), "stress": ("MPa", "MPa")},
    "inches": {"moment": ("lb ft", "lbf*ft"), "force": ("lb", "lbf"), "stress": ("psi", "psi")},
}
_SI = {"moment": "N*m", "force": "N", "stress": "Pa"}
_TOP = 2.0
"""use above which the panel of uses is cut [-]"""
_LETTERS = 15
"""most checks that have a letter"""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Panel:
    """One diagram: a band of the page with a scale of values."""

    ax: Any
    to: Scale
    top: float
    foot: float
    low: float
    high: float
    end: float
    """of the shaft [m]"""

    def y(self, value: Any) -> Any:
        """Return where a value stands on the page."""
        return self.foot - (np.asarray(value) - self.low) / (self.high - self.low) * (self.foot - self.top)

    def line(self, x: Array, value: Array, color: str, width: float, style: Any = "-", order: float = 3.0) -> None:
        """Draw values along the shaft."""
        self.ax.plot(
            self.to(x), self.y(value), color=INKS[color], linewidth=width, linestyle=style, zorder=order,
            solid_joinstyle="round",
        )  # fmt: skip

    def frame(self, title: str, unit: str, after: str = "") -> None:
        """Draw the ground of the panel: levels with their figures, the zero line, and what it is."""
        from matplotlib.ticker import MaxNLocator

        a, b = float(self.to(0.0)), float(self.to(self.end))
        steps = MaxNLocator(nbins=4, steps=[1, 2, 2.5, 5, 10]).tick_values(self.low, self.high)
        for v in steps:
            if self.low <= v <= self.high:
                zero = abs(v) < 1e-9 * (self.high - self.low)
                y = float(self.y(v))
                self.ax.plot(
                    [a, b], [y, y], color=INKS["ink" if zero else "rule"], linewidth=0.8 if zero else 0.5, zorder=1
                )
                write(self.ax, a - 0.05, y, "0" if zero else f"{v:g}{after}", SMALL, ha="right", va="center_baseline")
        box = {"facecolor": INKS["paper"], "edgecolor": "none", "pad": 1.0}
        write(
            self.ax,
            0.05,
            self.top - 0.2,
            title,
            PLAIN,
            ha="left",
            va="center_baseline",
            weight="bold",
            bbox=box,
            zorder=8,
        )
        write(
            self.ax, 0.05 + measure(title, PLAIN, bold=True) + 0.08, self.top - 0.2, unit, SMALL, ha="left",
            va="center_baseline", color=INKS["soft"], bbox=box, zorder=8,
        )  # fmt: skip


def _bounds(*values: Array) -> tuple[float, float]:
    """Return a range that holds all values and zero, with a little room."""
    v = np.concatenate([np.ravel(a) for a in values])
    v = v[np.isfinite(v)]
    low, high = (min(float(v.min()), 0.0), max(float(v.max()), 0.0)) if len(v) else (0.0, 1.0)
    room = 0.06 * (high - low) or 1.0
    return low - (room if low < 0.0 else 0.0), high + (room if high > 0.0 else 0.0)


def _tags(panel: _Panel, x: Array, rows: Sequence[tuple[str, Array, bool]], last: float) -> None:
    """Set each line's tag on the line itself, away from the other tags and, where there is room, from other lines."""
    at = np.linspace(0.04, 0.96, 47) * last
    px = panel.to(at)
    heights = [np.interp(at, x, np.nan_to_num(panel.y(v), nan=float(panel.y(0.0)))) for _, v, _ in rows]
    zero = float(panel.y(0.0))
    placed: list[tuple[float, float]] = []
    for i in sorted(range(len(rows)), key=lambda i: -float(np.max(np.abs(heights[i] - zero)))):
        h = heights[i]
        near = np.full(len(at), 1.0)
        for qx, qy in placed:
            near = np.minimum(near, np.hypot(px - qx, h - qy))
        others = [np.abs(h - o) for j, o in enumerate(heights) if j != i]
        clear = np.minimum.reduce(others) if others else np.full(len(at), 1.0)
        score = 4.0 * np.minimum(near, 0.19) + np.minimum(clear, 0.15) + 0.5 * np.minimum(np.abs(h - zero), 0.2)
        k = int(score.argmax())
        placed.append((float(px[k]), float(h[k])))
        tag(panel.ax, float(px[k]), float(h[k]), rows[i][0], heavy=rows[i][2])


def _actions(panel: _Panel, a: Along, fore: Array, flat: Array, scale: float, heavy: int | None, last: float) -> None:
    """Draw an action of all cases both ways; a way that is next to nothing beside the other of its case is left out."""
    tagged = []
    most = max(np.nanmax(np.abs(fore)), np.nanmax(np.abs(flat)))
    for i in range(fore.shape[0]):
        far, up = (float(np.nanmax(np.abs(v[i]))) for v in (fore, flat))
        ways: tuple[tuple[Array, Any, float, float], ...] = ((fore, "-", far, up), (flat, (0, (4, 2)), up, far))
        for v, style, mine, other in ways:
            if mine < 0.02 * most and mine < other:
                continue
            main = i == heavy and mine >= other
            panel.line(a.x, v[i] * scale, "line" if main else "soft", 2.2 if main else 0.7, style, 5.0 if main else 3.0)
            if mine >= other:
                tagged.append((str(i + 1), v[i] * scale, main))
    _tags(panel, a.x, tagged, last)


def _same(a: Array, b: Array) -> bool:
    return bool(np.allclose(a, b, rtol=1e-6, equal_nan=True))


def _limits(a: Along) -> list[tuple[list[int], Array]]:
    """Return the limits of all cases, those that are the same once, with the cases that each belongs to."""
    out: list[tuple[list[int], Array]] = []
    for i, limit in enumerate(a.limit):
        if np.isnan(limit).all():
            continue
        known = next((cases for cases, v in out if _same(v, limit)), None)
        if known is None:
            out.append(([i], limit))
        else:
            known.append(i)
    return out


def _runs(cases: Sequence[int]) -> str:
    """Return numbers of cases as short as can be: 1, 4 to 6."""
    parts: list[list[int]] = []
    for c in cases:
        if parts and c == parts[-1][-1] + 1:
            parts[-1].append(c)
        else:
            parts.append([c])
    return ", ".join(f"{p[0] + 1} to {p[-1] + 1}" if len(p) > 2 else ", ".join(str(c + 1) for c in p) for p in parts)


def hardest(a: Along) -> int | None:
    """Return the case whose fibre stress comes nearest to its limit."""
    with np.errstate(invalid="ignore", divide="ignore"):
        ratio = np.nan_to_num(a.stress / a.limit, nan=-1.0).max(axis=-1)
    return int(ratio.argmax()) if ratio.max() > 0.0 else None


def _stresses(panel: _Panel, a: Along, scale: float, heavy: int | None, last: float) -> None:
    tagged = []
    for i, stress in enumerate(a.stress):
        if np.isnan(stress).all():
            continue
        main = i == heavy
        panel.line(a.x, stress * scale, "line" if main else "soft", 2.2 if main else 0.7, "-", 5.0 if main else 3.0)
        tagged.append((str(i + 1), stress * scale, main))
    found = _limits(a)
    texts = [f"limit of {_runs(cases)}" for cases, _ in found]
    ends = [float(panel.y(float(v[~np.isnan(v)][-1]) * scale)) for _, v in found]
    order = sorted(range(len(found)), key=lambda i: ends[i])
    places = spread([ends[i] for i in order], [LINE] * len(found), panel.top - 0.04, panel.foot)
    for i, place in zip(order, places, strict=True):
        cases, limit = found[i]
        main = heavy in cases
        panel.line(a.x, limit * scale, "limit", 1.8 if main else 0.8, (0, (7, 2)) if main else (0, (2, 2)), 4.0)
        x = float(panel.to(a.x[-1]))
        wide = measure(texts[i], SMALL, bold=main)
        at = min(x + 0.12, WIDTH - wide - 0.04)
        panel.ax.plot([x, at - 0.02], [ends[i], place], color=INKS["limit"], linewidth=0.6)
        box = {"facecolor": INKS["paper"], "edgecolor": "none", "pad": 0.6}
        write(panel.ax, at, place, texts[i], SMALL, ha="left", va="center_baseline", color=INKS["limit"],
              weight="bold" if main else "normal", bbox=box, zorder=7)  # fmt: skip
    _tags(panel, a.x, tagged, last)


def _shown(a: Along) -> list[Course]:
    """Return the checks that are drawn: those that are used at all, known somewhere."""
    return [c for c in a.courses if float(np.nan_to_num(c.use, nan=0.0).max()) >= 0.005]


def _peak(c: Course) -> tuple[float, float]:
    k = int(np.nan_to_num(c.use, nan=-1.0).argmax())
    return float(c.x[k]), float(c.use[k])


def _uses(panel: _Panel, courses: Sequence[Course], heavy: int | None) -> None:
    """Draw the use of every check; the most used have their letters."""
    a, b = float(panel.to(0.0)), float(panel.to(panel.end))
    y = float(panel.y(100.0))
    if panel.high > 113.0:
        panel.ax.fill([a, b, b, a], [y, y, panel.top, panel.top], facecolor="none", edgecolor=INKS["limit"], hatch="//",
                      linewidth=0.0, alpha=0.35, zorder=0.5)  # fmt: skip
    panel.ax.plot([a, b], [y, y], color=INKS["limit"], linewidth=1.8, linestyle=(0, (7, 2)), zorder=4)
    write(panel.ax, b, y + 0.09, "100 %: no more than this", SMALL, ha="right", weight="bold", color=INKS["limit"])
    for k, c in enumerate(courses):
        use = np.where(np.isnan(c.use), np.nan, np.minimum(c.use * 100.0, panel.high))
        if len(c.x) == 1:
            panel.ax.plot(
                panel.to(c.x), panel.y(use), "D", color=INKS["line" if k == heavy else "ink"], markersize=4.0, zorder=5
            )
        else:
            order = np.argsort(c.x)
            panel.line(
                c.x[order],
                use[order],
                "line" if k == heavy else "soft",
                2.2 if k == heavy else 0.8,
                order=5.0 if k == heavy else 3.0,
            )
    courses = courses[:_LETTERS]
    peaks = [_peak(c) for c in courses]
    order_ = sorted(range(len(courses)), key=lambda i: (peaks[i][0], -peaks[i][1]))
    at = spread([float(panel.to(peaks[i][0])) for i in order_], [0.165] * len(order_), LEFT, WIDTH - 0.05)
    tag_y = panel.top - 0.02
    names = letters(len(courses))
    for i, x in zip(order_, at, strict=True):
        px, py = float(panel.to(peaks[i][0])), float(panel.y(min(peaks[i][1] * 100.0, panel.high)))
        panel.ax.plot([x, px, px], [tag_y + 0.07, tag_y + 0.22, py], color=INKS["metal"], linewidth=0.6, zorder=2)
        tag(panel.ax, x, tag_y, names[i], heavy=i == heavy)


def _ground(ax: Any, to: Scale, oar: Oar, top: float, foot: float) -> None:
    """Draw where the joints lie and where the shaft is held, through all panels."""
    for j in oar.shaft.joints:
        a, b = float(to(float(j.start))), float(to(float(j.end)))
        ax.fill([a, b, b, a], [top, top, foot, foot], facecolor=INKS["blade"], linewidth=0, zorder=0)
    rig = oar.shaft.rig
    if isinstance(rig, Hinged):
        spans = [(rig.inner_from, rig.inner_to), (rig.outer_from, rig.outer_to)]
        for a, b in ((float(to(float(p))), float(to(float(q)))) for p, q in spans):
            ax.fill([a, b, b, a], [top, top, foot, foot], facecolor=INKS["blade"], linewidth=0, zorder=0)
        held = [float(rig.inner_pin), float(rig.outer_pin)]
    else:
        held = [float(rig.lock)]
    for v in held:
        ax.plot([float(to(v))] * 2, [top, foot], color=INKS["soft"], linewidth=0.6, linestyle=(0, (1, 2)), zorder=1)


def _case_names(oar: Oar) -> Iterator[tuple[str, str]]:
    for i, c in enumerate(oar.beam.cases):
        yield str(i + 1), c.title


def _heavy_words(oar: Oar, shown: Sequence[Course]) -> list[str]:
    """Return how the cases are drawn, and what is heavy where the weakest place is of no one case."""
    line, worst = weakest(oar), worst_of_a_case(oar)
    ways = "Cases: full line fore and aft, dashed up and down"
    if worst is None:
        return [f"{ways}; none is heavy, as none uses anything"]
    if line is None or line.case:
        return [f"{ways}; heavy: what governs"]
    lettered = {c.check: name for c, name in reversed([*zip(shown[:_LETTERS], letters(_LETTERS), strict=False)])}
    first, second = (lettered.get(check, clean(check, width=2.2, size=SMALL)) for check in (line.check, worst.check))
    return [ways, f"What governs, {first}, is of no one case; heavy: {second}, the worst that is of one"]


def diagrams(oar: Oar, a: Along, system: System, *, title: str = "") -> Figure:
    """Return the diagrams of an oar, on the same scale along the shaft as its drawing.

    Parameters
    ----------
    title : set on top, for a figure that stands alone
    """
    to, tip = scale_of(oar.shaft), float(oar.shaft.blade.tip)
    last = float(oar.shaft.stations[-1].x)
    scale = {k: factor(_SI[k], unit) for k, (_, unit) in _UNITS[system].items()}
    word = {k: name for k, (name, _) in _UNITS[system].items()}
    shown = _shown(a)
    worst = worst_of_a_case(oar)
    heavy = None if worst is None else oar.beam.case(worst.case)
    main = None if worst is None else next((i for i, c in enumerate(shown) if c.check == worst.check), None)
    case_key = [(n, name, i == heavy) for i, (n, name) in enumerate(_case_names(oar))]
    names = letters(len(shown))
    check_key = [
        (names[i], f"{c.check} {percent(_peak(c)[1], 'up')}", i == main) for i, c in enumerate(shown[:_LETTERS])
    ]
    less = len(shown) - len(check_key)
    fewer = f"; {less} more without a letter, none above {percent(_peak(shown[_LETTERS])[1], 'up')}" if less > 0 else ""
    y = 0.08 + (0.28 if title else 0.0)
    silhouette = y + 0.24
    y += 0.48
    panels = []
    for tall in (1.15, 0.85, 1.25, 1.35):
        y += 0.32
        panels.append((y, y + tall))
        y += tall
    panels[3] = (panels[3][0] + 0.08, panels[3][1] + 0.08)
    y += 0.16
    staff_at = y
    y += 0.3
    woods_at = y
    _, blank = figure(1.0)
    y = wood_key(blank, oar.shaft, y, draw=False) + 0.06 if len(wood_looks(oar.shaft)) > 1 else y
    key_at = y
    says = _heavy_words(oar, shown)
    y = key(blank, y + (len(says) - 1) * LINE + 0.16, case_key, draw=False)
    second_at = y
    y = key(blank, y + 0.16, check_key, draw=False)
    fig, ax = figure(y)
    if title:
        text = clean(title, width=WIDTH - 0.2, size=LARGE, bold=True)
        write(ax, 0.08, 0.09, text, LARGE, weight="bold", ha="left", va="top")
    _ground(ax, to, oar, silhouette + 0.2, panels[-1][1])
    across = 0.3 / float(np.max(told_sizes(oar.shaft, np.array([float(s.x) for s in oar.shaft.stations]))[0]))
    whole_view(oar, View(ax=ax, to=to, y=silhouette, across=min(across, to.per_metre * 3), above=True))

    def panel(i: int, low: float, high: float) -> _Panel:
        top, foot = panels[i]
        return _Panel(ax=ax, to=to, top=top, foot=foot, low=low, high=high, end=tip)

    for i, (what, dimension, fore, flat) in enumerate(
        (
            ("Bending moment", "moment", a.moment, a.moment_up),
            ("Shear force", "force", a.shear, a.shear_up),
        )
    ):
        k = scale[dimension]
        p = panel(i, *_bounds(fore * k, flat * k))
        sides = "up: stretches the aft or lower face" if i == 0 else ""
        p.frame(what, f"{word[dimension]} · {sides}".rstrip(" ·"))
        _actions(p, a, fore, flat, k, heavy, last)
    p = panel(2, *_bounds(a.stress * scale["stress"], a.limit * scale["stress"]))
    p.frame(
        "Fibre stress and its limits", f"{word['stress']} · cases that push along the shaft are in the checks below"
    )
    _stresses(p, a, scale["stress"], heavy, last)
    most = max((_peak(c)[1] for c in shown), default=0.0)
    p = panel(3, 0.0, 112.0 if most <= 1.0 else 100.0 * min(max(1.25, most * 1.08), _TOP))
    cut = f"; cut at {percent(_TOP)}" if most > _TOP else ""
    p.frame("Use of each check", f"of what it may carry, the worst of all cases{cut}", " %")
    _uses(p, shown, main)
    staff(ax, to, staff_at, tip, system)
    if woods_at < key_at:
        wood_key(ax, oar.shaft, woods_at)
    for k, said in enumerate(says):
        write(ax, 0.05, key_at + 0.08 + k * LINE, said, SMALL, ha="left", va="center_baseline", color=INKS["soft"])
    key_at += (len(says) - 1) * LINE
    key(ax, key_at + 0.16, case_key)
    said = f"Checks, each with its greatest use{fewer}"
    write(ax, 0.05, second_at + 0.08, said, SMALL, ha="left", va="center_baseline", color=INKS["soft"])
    key(ax, second_at + 0.16, check_key)
    line = weakest(oar)
    if line is not None and not math.isnan(line.x):
        plumb(ax, float(to(line.x)), silhouette - 0.22, staff_at - 0.03)
    return fig


def in_words(oar: Oar, a: Along, system: System) -> str:
    """Return what the diagrams show, for those who do not see them."""

    def greatest(v: Array, up: Array, what: str, dimension: Any) -> str:
        size = np.maximum(np.nan_to_num(np.abs(v)), np.nan_to_num(np.abs(up)))
        i, k = np.unravel_index(int(size.argmax()), size.shape)
        return (
            f"The greatest {what} is {show(float(size[i, k]), dimension, system)} at "
            f"{show(float(a.x[k]), 'length', system)} under {oar.beam.cases[int(i)].title}."
        )

    out = [
        f"Diagrams along the shaft under {len(oar.beam.cases)} load cases.",
        greatest(a.moment, a.moment_up, "bending moment", "moment"),
        greatest(a.shear, a.shear_up, "shear force", "force"),
    ]
    i = hardest(a)
    if i is not None:
        with np.errstate(invalid="ignore", divide="ignore"):
            k = int(np.nan_to_num(a.stress[i] / a.limit[i], nan=-1.0).argmax())
        out.append(
            f"Fibre stress comes nearest to its limit at {show(float(a.x[k]), 'length', system)} under "
            f"{oar.beam.cases[i].title}: {show(float(a.stress[i, k]), 'stress', system, side='up')} of "
            f"{show(float(a.limit[i, k]), 'stress', system, side='down')}."
        )
    uses = "; ".join(
        f"{c.check} {percent(_peak(c)[1], 'up')} at {show(_peak(c)[0], 'length', system)}" for c in _shown(a)[:6]
    )
    out.append(f"The most used checks: {uses}.")
    return " ".join(out)
