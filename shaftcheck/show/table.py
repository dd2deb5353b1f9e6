"""An answer as text within 100 columns. Nothing is computed here; figures round to the safe side."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tabulate import tabulate

from shaftcheck.answer import Answer, different
from shaftcheck.border.shaftfile import Entry
from shaftcheck.border.shown import System, say
from shaftcheck.show import rows
from shaftcheck.show.kept import filled, free, kept, lines
from shaftcheck.stowing import STOWING_SOURCE

__all__ = ["brief", "fitted", "full", "wrap"]

WIDTH = 100


def wrap(text: str, indent: str = "") -> str:
    """Return the text in lines of at most 100 columns, those after the first set in below `indent`."""
    return filled(text, WIDTH, indent)


def _grid(body: Iterable[Sequence[str]], heads: Sequence[str], align: str) -> str:
    """Return a table; align has one letter a column: l, r."""
    sides = tuple({"l": "left", "r": "right"}[a] for a in align)
    cells = [list(r) for r in body]
    # headings are rows here: headings proper are padded beyond the width there is
    widths = [max(len(part) for c in column for part in c.split("\n")) for column in zip(heads, *cells, strict=True)]
    every = [list(heads), ["-" * w for w in widths], *cells]
    text = str(tabulate(every, tablefmt="plain", colalign=sides, disable_numparse=True))
    return free("\n".join(line.rstrip() for line in text.splitlines()))


def fitted(body: Sequence[tuple[str, ...]], heads: Sequence[str], align: str) -> str:
    """Return the table with its text columns wrapped, the widest first, until it fits."""
    cells = [[r[i] for r in body] for i in range(len(heads))]
    widths = [max(len(c) for c in column) for column in cells]
    words = [
        max(len(w) for c in (head, *column) for w in kept(c).split(" "))
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
        tuple("\n".join(lines(c, w)) if a == "l" else c for c, w, a in zip(r, widths, align, strict=True)) for r in body
    ]
    return _grid(wrapped, ["\n".join(lines(h, w)) for h, w in zip(heads, widths, strict=True)], align)


def _table(g: rows.Grid) -> str:
    return fitted(g.rows, g.heads, g.align)


def _inputs(entries: Iterable[Entry], system: System) -> str:
    understood = rows.inputs(entries, system, other=True)
    told = [(path, text + ("" if how == "told" else f"  ({how})")) for path, text, how in understood]
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
        out += [f"{oar.state}{label}", wrap(oar.sentences[0]), wrap(oar.sentences[1])]
        if oar.stowed.state:
            out.append(wrap(f"{oar.stowed.state}{label}. {oar.stowed.sentence}"))
        out.append("")
    options = rows.options(a)
    if options is not None:
        out += [_table(options), "", *(wrap(words) for words in rows.option_words(a)), ""]
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
    told = dict.fromkeys(n for oar in a.oars for n in oar.notes if n.grade == "caution")
    joints = [wrap(f"{say(n.text, a.system)} ({n.origin}).", "Caution: ") for n in told]
    return "\n".join([*_verdict(a), _table(rows.pulls(a.oars, a.system)), "", *joints, *_said(a)])


def full(a: Answer) -> str:
    """Return the whole answer."""
    system = a.system
    out = [*_verdict(a), _table(rows.pulls(a.oars, system)), ""]
    for oar in a.oars:
        if oar.label:
            out += [oar.label.capitalize(), ""]
        if oar.advice:
            out += [*(wrap(text, "To make it hold: ") for text in oar.advice), ""]
        out += [_table(rows.checks(oar.lines, system)), ""]
        met = rows.met_besides(oar.lines)
        out += [wrap("; ".join(rows.grouped(met)) + ".", "Met, with nothing asked of them: "), ""] if met else []
        out += [_table(rows.cases(oar, system)), "", wrap(rows.USED), ""]
        out += [wrap(text, "Not known: ") for text in rows.missing(oar.lines)]
        out += [*(wrap(text) for text in rows.whole(oar, system)), ""]
        needs = rows.needs(oar, system)
        if needs is not None:
            out += [_table(needs), ""]
        stowed = rows.stowed(oar, system)
        if stowed is not None:
            told = [wrap(f"{STOWING_SOURCE}.", "Stowing: ")] if oar.stowed.state else []
            out += [_table(stowed), *told, ""]
        mounting = rows.mounting(oar, system)
        if mounting is not None and oar.mounted is not None:
            out += [_table(mounting), "", *(wrap(words) for words in oar.mounted.words), ""]
        out += [_table(rows.ladder(oar, system)), ""]
        out += [wrap(f"{say(n.text, system)} ({n.origin}).", f"{n.grade.capitalize()}: ") for n in oar.notes]
        out += ["Taken for granted", *(wrap(say(words, system), "- ") for words in oar.assumptions), ""]
    measured = rows.measured(a)
    if measured is not None:
        out += [_table(measured), ""]
    out += [_inputs(a.reading.entries.values(), system), ""]
    for oar in a.oars[1:]:
        differs = different(a.reading, oar.reading)
        if differs:
            out += [f"{oar.label}, where it differs", _inputs(differs, system), ""]
    out += _said(a)
    return "\n".join(out)
