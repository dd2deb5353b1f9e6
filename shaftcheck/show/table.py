"""An answer as text within 100 columns. Nothing is computed here; figures round to the safe side."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterable, Sequence

from tabulate import tabulate

from shaftcheck.answer import Answer, CaseLine, Line, Oar, different
from shaftcheck.border.shaftfile import Entry
from shaftcheck.border.sizes import System, both, pull, say, show
from shaftcheck.key import DIMENSION_OF
from shaftcheck.said import Dimension, Side

__all__ = ["brief", "fitted", "full", "wrap"]

WIDTH = 100
_DIMENSIONS: dict[str, Dimension] = {"Pa": "stress", "N": "force", "m": "length"}


def wrap(text: str, indent: str = "") -> str:
    """Return the text in lines of at most 100 columns, those after the first set in below `indent`."""
    return textwrap.fill(text, WIDTH, initial_indent=indent, subsequent_indent=" " * len(indent))


def _grid(rows: Iterable[Sequence[str]], heads: Sequence[str], align: str) -> str:
    """Return a table; align has one letter a column: l, r."""
    sides = tuple({"l": "left", "r": "right"}[a] for a in align)
    body = [list(r) for r in rows]
    # headings are rows here: headings proper are padded beyond the width there is
    widths = [max(len(part) for c in column for part in c.split("\n")) for column in zip(heads, *body, strict=True)]
    lines = [list(heads), ["-" * w for w in widths], *body]
    text = str(tabulate(lines, tablefmt="plain", colalign=sides, disable_numparse=True))
    return "\n".join(line.rstrip() for line in text.splitlines())


def _size(value: float, unit: str, system: System, side: Side) -> str:
    if math.isnan(value):
        return "not known"
    if unit in _DIMENSIONS:
        return show(value, _DIMENSIONS[unit], system, side=side)
    if math.isinf(value):
        return "no limit"
    if value == 0.0:
        return "0"
    step = 10.0 ** (math.floor(math.log10(abs(value))) - 1)
    rounded = math.ceil(value / step - 1e-9) if side == "up" else math.floor(value / step + 1e-9)
    return f"{rounded * step:.2g}" if abs(value) < 1e4 else f"{rounded * step:.1e}"


def percent(use: float, known: bool) -> str:
    """Return a use in per cent, rounded up."""
    if math.isnan(use):
        return "not known"
    words = "no limit left" if math.isinf(use) else f"{math.ceil(use * 100.0 - 1e-9)} %"
    return words if known else f"{words}, part not known"


def _margin(line: Line) -> str:
    if math.isnan(line.use) or math.isinf(line.margin):
        return ""
    return f"{math.floor(line.margin * 100.0 + 1e-9):+d} %"


def fitted(rows: Sequence[tuple[str, ...]], heads: Sequence[str], align: str) -> str:
    """Return the table with its text columns wrapped, the widest first, until it fits."""
    cells = [[r[i] for r in rows] for i in range(len(heads))]
    widths = [max(len(c) for c in column) for column in cells]
    words = [
        max(len(w) for c in (head, *column) for w in c.split() or [""])
        for head, column in zip(heads, cells, strict=True)
    ]
    for i, a in enumerate(align):
        widths[i] = max(widths[i], words[i] if a == "l" else max(len(w) for w in heads[i].split()))
    while sum(widths) + 2 * (len(widths) - 1) > WIDTH:
        open_ = [i for i, a in enumerate(align) if a == "l" and widths[i] > words[i]]
        if not open_:
            break
        widths[max(open_, key=lambda i: widths[i])] -= 1
    wrapped = [
        tuple("\n".join(textwrap.wrap(c, w)) if a == "l" else c for c, w, a in zip(r, widths, align, strict=True))
        for r in rows
    ]
    return _grid(wrapped, ["\n".join(textwrap.wrap(h, w)) for h, w in zip(heads, widths, strict=True)], align)


def _lines(oar: Oar, system: System) -> str:
    rows = []
    for line in oar.lines:
        if line.use == 0.0 and line.demand == 0.0:
            continue  # named below the table
        unchecked = line.kind == "is not checked"
        under = line.case_title or ("all strokes of a life" if line.kind == "wears out" else "")
        rows.append(
            (
                line.check,
                under,
                line.place,
                show(line.x, "length", system),
                "" if unchecked else _size(line.demand, line.unit, system, "up"),
                "" if unchecked else _size(line.capacity, line.unit, system, "down"),
                "not checked" if unchecked else percent(line.use, line.known),
                _margin(line),
            )
        )
    heads = ("check", "worst under", "where", "from handle end", "there is", "may be", "used", "margin")
    return fitted(rows, heads, "lllrrrrr")


def _case(c: CaseLine, system: System, title: str) -> tuple[str, ...]:
    load = f"{c.load:g} x weight" if not c.unit else show(c.load, "force", system)
    if not c.unit and math.isfinite(c.good_for):
        good = f"{math.floor(c.good_for * 10) / 10:g} x weight"
    else:
        good = show(c.good_for, "force", system, side="down")
    used = percent(c.use, c.known)
    return title, load, c.check, c.place, show(c.x, "length", system), c.bends, used, good


def _cases(oar: Oar, system: System) -> str:
    """Return the cases; of those that differ only in their direction, the worst."""
    families: dict[str, list[CaseLine]] = {}
    for c in oar.cases:
        families.setdefault(c.case.partition(" ")[0], []).append(c)
    rows = []
    for members in families.values():
        worst = max(members, key=lambda c: math.inf if math.isnan(c.use) else c.use)
        title = worst.title if len(members) == 1 else f"{worst.title} (worst of {len(members)} ways)"
        rows.append(_case(worst, system, title))
    heads = ("must hold", "load", "governed by", "where", "from handle end", "stretched face", "used", "good for")
    return fitted(rows, heads, "lrllrlrr")


_STROKES = {"once": "greatest single pull", "start": "start or sprint", "hard": "hard rowing", "steady": "every stroke"}


def _pulls(oars: Sequence[Oar], system: System) -> str:
    heads = ["pull at the hand", "asked"] + [f"work to this{', ' + o.label if o.label else ''}" for o in oars]
    rows = [
        [words, show(oars[-1].asked[key], "force", system)] + [pull(o.pulls[key]) for o in oars]
        for key, words in _STROKES.items()
    ]
    half = [show(o.to_break[0], "force", system, side="down") for o in oars]
    band = [
        f"{show(o.to_break[1], 'force', system, side='down')} to {show(o.to_break[2], 'force', system)}" for o in oars
    ]
    rows.append(["about half would have broken by here", "not for use", *half])
    rows.append(["  9 of 10 break between", "not for use", *band])
    return fitted([tuple(r) for r in rows], heads, "lr" + "l" * len(oars))


def _whole(oar: Oar, system: System) -> list[str]:
    w, m, g = oar.whole, oar.movement, oar.gives
    lift = float(w.lift)
    lifts = (
        "each half hangs in its own cradle"
        if math.isnan(lift)
        else (
            f"the hand lifts the blade clear with {show(abs(lift), 'force', system)}"
            + (" down" if lift >= 0.0 else " up")
        )
    )
    held = f", {show(m.held, 'length', system)} with the hand held" if m.held != m.clamped else ""
    return [
        f"Weight {show(float(w.mass), 'mass', system)}; balances {show(float(w.balance), 'length', system)} from the "
        f"handle end; {lifts}; swing inertia "
        f"{show(float(w.inertia), 'inertia', system)}.",
        f"At the greatest pull the blade moves {show(m.clamped, 'length', system)} as if clamped at the lock{held}; "
        f"{m.shear_share:.1%} of it is shear. The hand moves {show(m.hand, 'length', system)}. No limit is published.",
        "Told, not demanded: the shaft gives way (about half of such shafts) at "
        f"{show(float(g.blade), 'force', system, side='down')} on the blade, as when it is stopped dead on rock or "
        f"jammed and pulled with everything; under {show(float(g.across), 'force', system, side='down')} in the middle "
        f"of {show(1.2, 'length', system)} between supports, half of that when stepped on suddenly; and dropped flat "
        f"across an edge from about {show(float(g.drop), 'length', system, side='down')}. Expect a long splintered "
        "break, or a crease that breaks later.",
        f"Damage of a life's strokes adds to {_size(oar.damage, '', system, 'up')} (must stay below 1). Were the "
        f"fatigue line a fifth lower, steady rowing would use {percent(oar.steady_if_a_fifth_lower, True)}.",
    ]


def _mounting(oar: Oar, system: System) -> list[str]:
    m = oar.mounted
    if m is None:
        return []
    rows = []
    for f in m.forces:
        load = show(f.driver, "force", system)
        forces = (_size(v, "N", system, "up") for v in (f.link, f.inner_pin, f.outer_pin))
        times = "" if math.isnan(f.times) else f"{f.times:.1f}"
        rows.append((f.title, load, *forces, show(f.couple, "moment", system, side="up"), times))
    heads = ("on the mounting", "load", "link", "inner pin", "outer pin", "couple", "pin over pull")
    return [fitted(rows, heads, "lrrrrrr"), "", *(wrap(words) for words in m.words), ""]


def _down(factor: float) -> float:
    return math.floor(factor * 1000.0) / 1000.0


def _ladder(oar: Oar, system: System) -> str:
    rows = [
        (
            s.name,
            "" if i == 0 else "not known" if math.isnan(s.factor.item()) else f"x {_down(s.factor.item()):.3f}",
            show(s.after.item(), "stress", system, side="down"),
            s.source,
        )
        for i, s in enumerate(oar.ladder)
    ]
    return fitted(rows, (oar.ladder_of.partition(",")[0], "factor", "after it", "source"), "lrrl")


def _echo(e: Entry) -> tuple[str, str, str]:
    if e.value is None:
        return e.path, e.text, "unknown"
    if isinstance(e.value, str):
        return e.path, e.value, e.how
    kind = DIMENSION_OF.get(e.key.kind)
    if kind is None:
        return e.path, f"{e.value:g}", e.how
    return e.path, show(e.value, kind) if kind in ("slope", "ratio") else both(e.value, kind), e.how


def _inputs(entries: Iterable[Entry]) -> str:
    rows = [_echo(e) for e in entries]
    told = [(path, f"{text}" + ("" if how == "told" else f"  ({how})")) for path, text, how in rows]
    half = (len(told) + 1) // 2
    pairs = [(*told[i], *(told[i + half] if i + half < len(told) else ("", ""))) for i in range(half)]
    text = _grid(pairs, ("as understood", "", "", ""), "llll")
    if max(len(line) for line in text.splitlines()) <= WIDTH:
        return text
    return fitted(told, ("as understood", ""), "ll")


def _verdict(a: Answer) -> list[str]:
    out = [wrap(a.title or a.name), *([wrap(a.note)] if a.note else []), ""]
    for oar in a.oars:
        label = f" ({oar.label})" if oar.label else ""
        out += [wrap(f"{oar.state}{label}. {oar.sentences[0]}"), wrap(oar.sentences[1]), ""]
    return out


def _said(a: Answer) -> list[str]:
    out = []
    if a.unknown_words:
        out.append(wrap(a.unknown_words, "Unknown: "))
    out += [wrap(text, "Caution: ") for _, text in a.cautions]
    out.append(wrap("; ".join(a.not_asked) + ".", "Not part of your question: "))
    return out


def brief(a: Answer) -> str:
    """Return the verdict, what it is good for, and what must always be said."""
    return "\n".join([*_verdict(a), _pulls(a.oars, a.system), "", *_said(a)])


def full(a: Answer) -> str:
    """Return the whole answer."""
    system = a.system
    out = [*_verdict(a), _pulls(a.oars, system), ""]
    for oar in a.oars:
        if oar.label:
            out += [oar.label.capitalize(), ""]
        out += [_lines(oar, system), "", _cases(oar, system), ""]
        met = [line.check for line in oar.lines if line.use == 0.0 and line.demand == 0.0]
        out += [wrap(", ".join(met) + ".", "Met besides: "), ""] if met else []
        missing = dict.fromkeys(f"{line.check}: {line.unknown}" for line in oar.lines if not line.known)
        out += [wrap(text, "Not known: ") for text in missing]
        out += [*(wrap(text) for text in _whole(oar, system)), ""]
        out += [*_mounting(oar, system), _ladder(oar, system), ""]
        out += [wrap(f"{say(n.text, system)} ({n.origin}).", f"{n.grade.capitalize()}: ") for n in oar.notes]
        out += [wrap("; ".join(say(w, system) for w in oar.assumptions) + ".", "Taken for granted: "), ""]
    if a.measured:
        out += [fitted(a.measured, ("measured", "by you", "computed"), "lrr"), ""]
    out += [_inputs(a.reading.entries.values()), ""]
    for oar in a.oars[1:]:
        differs = different(a.reading, oar.reading)
        if differs:
            out += [f"{oar.label}, where it differs", _inputs(differs), ""]
    out += _said(a)
    return "\n".join(out)
