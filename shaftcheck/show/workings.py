"""Worked lines as they stand on a sheet: numbered through, no line twice, formulas that break where the page ends."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

from shaftcheck.along import weakest
from shaftcheck.answer import Line, Oar
from shaftcheck.border.shown import System
from shaftcheck.show.typeset import GREEK
from shaftcheck.show.worked import WorkedLine, worked

if TYPE_CHECKING:
    from markupsafe import Markup

__all__ = ["Shown", "Working", "broken", "governing", "raised", "workings"]

_WIDE = 27
"""letters in a piece of a formula that is not broken further, so that it fits a phone and half a page"""
_NAMESPACE = "{http://www.w3.org/1998/Math/MathML}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """One line."""

    number: int
    words: str
    """what comes out"""
    equation: Markup
    """in symbols; empty where it was solved or told"""
    working: Markup
    """in numbers, with its result"""
    told: str
    """where it was solved or told: how"""
    given: tuple[tuple[Markup, str], ...]
    """symbols, each with what it is where that is new, or with the line that it comes from"""
    source: str
    """empty where it says no more than that it is arithmetic"""
    valid: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class Working:
    """All lines behind one check that do not stand before it already."""

    line: Line
    lines: tuple[Shown, ...]
    again: str
    """which earlier lines it takes up; empty where none"""


def governing(oar: Oar) -> tuple[Line, ...]:
    """Return the checks that govern: that of the weakest place, and of those that govern a load case the worst of each
    name."""
    first = weakest(oar)
    if first is None:
        return ()
    names = {c.check for c in oar.cases if c.check}
    others = [line for line in oar.lines if line.check in names and line.use > 0.0 and line is not first]
    return (first, *sorted(others, key=lambda line: -line.use))


def workings(oar: Oar, system: System) -> tuple[Working, ...]:
    """Return the worked lines of every check that governs."""
    numbers: dict[tuple[str, str, str], int] = {}
    meant: dict[str, str] = {}
    sources: dict[str, int] = {}
    out = []
    for line in governing(oar):
        before = len(numbers)
        new: list[Shown] = []
        taken: set[int] = set()
        mine: dict[int, int] = {}
        for i, w in enumerate(worked(oar, line, system=system), 1):
            w = _renumbered(w, mine)
            same = (w.text, w.result.meaning, w.source)
            if same in numbers:
                taken.add(numbers[same])
            else:
                numbers[same] = len(numbers) + 1
                new.append(_shown(w, numbers[same], meant, sources))
            mine[i] = numbers[same]
        out.append(Working(line=line, lines=tuple(new), again=_runs(sorted(n for n in taken if n <= before))))
    return tuple(out)


def _renumbered(w: WorkedLine, mine: dict[int, int]) -> WorkedLine:
    given = tuple(q if q.line is None else replace(q, line=mine[q.line]) for q in w.given)
    return replace(w, given=given)


def _runs(numbers: Sequence[int]) -> str:
    """Return numbers as short as can be: 1, 4 to 6."""
    runs: list[list[int]] = []
    for n in numbers:
        if runs and n == runs[-1][1] + 1:
            runs[-1][1] = n
        else:
            runs.append([n, n])
    return ", ".join(str(a) if a == b else f"{a} to {b}" if b > a + 1 else f"{a}, {b}" for a, b in runs)


def _shown(w: WorkedLine, number: int, meant: dict[str, str], sources: dict[str, int]) -> Shown:
    """Return a line; a symbol is explained where its meaning is new, and a source quoted where it comes first."""
    from markupsafe import Markup

    computed = w.expression is not None
    given = []
    for q in w.given:
        if q.line is not None:
            given.append((raised(q.symbol), f"line {q.line}"))
        elif q.meaning and meant.get(q.symbol) != q.meaning:
            given.append((raised(q.symbol), q.meaning))
        meant[q.symbol] = q.meaning
    meant[w.result.symbol] = w.result.meaning
    source = "" if w.source.startswith("arithmetic") else w.source
    first = sources.setdefault(source, number)
    return Shown(
        number=number,
        words=w.result.meaning or w.words,
        equation=broken(w.equation_mathml, w.equation) if computed else Markup(""),
        working=broken(w.working_mathml, f"{w.result.symbol} = {w.working} = {w.result.text}"),
        told="" if computed else w.words,
        given=tuple(given),
        source=source if first == number or len(source) < 30 else f"source as line {first}",
        valid=raised(w.valid),
    )


def raised(text: str) -> Markup:
    """Return symbols in running text as they are printed: Greek as letters, what stands behind an underscore below."""
    from markupsafe import Markup, escape

    signs = {">=": "≥", "<=": "≤"}
    out = Markup("")
    for word in re.split(r"(\s+|,)", text):
        base, bar, below = word.partition("_")
        if bar:
            out += Markup("<i>{}</i><sub>{}</sub>").format(GREEK.get(base, base), GREEK.get(below, below))
        elif word in GREEK or re.fullmatch("[A-Za-z]", word):
            out += Markup("<i>{}</i>").format(GREEK.get(word, word))
        else:
            out += escape(signs.get(word, word))
    return out


# ----------------------------------------------------------------------------------------------- formulas in pieces


def broken(mathml: str, says: str) -> Markup:
    """Return a formula in pieces between which a line may end: no browser breaks MathML by itself.

    Parameters
    ----------
    says : the same as text, for who does not see it
    """
    from markupsafe import Markup

    root = ET.fromstring(mathml)
    for e in root.iter():
        e.tag = e.tag.removeprefix(_NAMESPACE)
        if not any(c.tag.endswith("mfrac") for c in e.iter()):
            for sign in e:
                if sign.tag.endswith("mo") and (sign.text or "") in "()|":
                    sign.set("stretchy", "false")  # without a font for maths a browser makes them far too tall
    pieces: list[list[ET.Element]] = [[]]
    for element in _parts(root):
        if pieces[-1] and (_opens(element) or sum(map(_width, pieces[-1])) + _width(element) > _WIDE):
            pieces.append([])
        pieces[-1].append(element)
    spans = "<wbr>".join(_math(p) for p in pieces if p)
    return Markup('<span role="math" aria-label="{}">').format(says) + Markup(spans + "</span>")


def _math(elements: Sequence[ET.Element]) -> str:
    math = ET.Element("math")
    math.extend(elements)
    return ET.tostring(math, encoding="unicode")


def _opens(e: ET.Element) -> bool:
    """Return whether a line may begin with an element: a sign between what is added or equal."""
    return e.tag == "mo" and (e.text or "") in "=+−·/"


def _width(e: ET.Element) -> int:
    """Return about how many letters wide an element is."""
    if e.tag == "mfrac":
        return max(map(_width, e), default=0) + 1
    return len((e.text or "").strip("\u2061\u2062 ")) + sum(map(_width, e)) + (e.tag == "mspace")


def _parts(e: ET.Element) -> Iterator[ET.Element]:
    """Yield what an element consists of, down to what is narrow enough or can't be taken apart."""
    if e.tag != "math" and _width(e) <= _WIDE and not _is_sum(e):
        yield e
    elif e.tag in ("math", "mrow"):
        for child in e:
            yield from _parts(child)
    elif e.tag == "mfrac":
        for k, part in enumerate(e):
            if k:
                yield _op("/")
            yield _op("(")
            yield from _parts(part)
            yield _op(")")
    elif e.tag == "msup" and e[0].tag == "mrow":
        *before, last = (part for child in e[0] for part in _parts(child))
        yield from before
        power = ET.Element("msup")
        power.extend((last, e[1]))
        yield power
    elif e.tag == "msqrt":
        yield _op("√")
        yield _op("(")
        for child in e:
            yield from _parts(child)
        yield _op(")")
    else:
        yield e


def _is_sum(e: ET.Element) -> bool:
    return e.tag == "mrow" and any(c.tag == "mo" and (c.text or "") == "=" for c in e)


def _op(text: str) -> ET.Element:
    out = ET.Element("mo")
    out.text = text
    return out
