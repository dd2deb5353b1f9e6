"""The flaws that a shaft file tells."""

from __future__ import annotations

import math
from contextlib import suppress

import numpy as np

from shaftcheck.border.fit import Fits, Values
from shaftcheck.border.hints import needed
from shaftcheck.border.keys import FLAW
from shaftcheck.border.shown import System, show
from shaftcheck.errors import AbsentError, Fault
from shaftcheck.model import Flaw, Station, number
from shaftcheck.sections import at

__all__ = ["flaws_of"]

NEEDS = {"crease": ("face",), "dent": ("width", "depth"), "tack holes": ("width", "depth"), "knot": ("width",)}
"""what must be told of a flaw besides its place"""


def flaws_of(
    v: Values,
    count: int,
    fits: Fits,
    sections: tuple[Station, ...] | None,
    unknown: frozenset[str],
    system: System,
) -> tuple[Flaw, ...]:
    """Return the flaws without a fault, each with its place, face and size.

    Parameters
    ----------
    count : how many the file tells
    sections : of the shaft; None where they have a fault of their own
    unknown : paths of sizes that the file says are unknown: any of their span is allowed
    system : of units, in which a fault says what would fit
    """
    out = []
    for i in range(1, count + 1):
        _fits(v, f"flaw.{i}", fits, system)
        with suppress(AbsentError):
            out.append(_flaw(v, f"flaw.{i}"))
            if sections is not None:
                _within(f"flaw.{i}", out[-1], sections, fits, unknown, system)
    return tuple(out)


def _fits(v: Values, path: str, fits: Fits, system: System) -> None:
    for key in ("face", "width", "depth"):
        with suppress(AbsentError):
            kind, there = v.choice(f"{path}.kind"), v.word(f"{path}.{key}") is not None
            if key in NEEDS.get(kind, ()) and not there:
                write = needed(key, FLAW[key], system)
                fits.faults.append(Fault(f"{path}.{key}", f"needed of {kind}: {FLAW[key].help}", write))
            if key != "face" and key not in NEEDS.get(kind, ()) and there:
                fits.faults.append(Fault(f"{path}.{key}", f"says nothing of {kind}", "leave it out"))
    fits.must(
        lambda: v[f"{path}.to"] > v[f"{path}.from"],
        f"{path}.to",
        "not beyond its 'from'",
        "give both from the handle end, the inner first",
    )
    fits.must(
        lambda: v[f"{path}.to"] <= v["oar.length"] * (1 + 1e-12),
        f"{path}.to",
        "past the tip",
        "measure it from the handle end",
    )


def _flaw(v: Values, path: str) -> Flaw:
    width, depth = v.get(f"{path}.width"), v.get(f"{path}.depth")
    return Flaw(
        kind=v.choice(f"{path}.kind"),
        face=v.word(f"{path}.face") or "",
        start=number(v[f"{path}.from"]),
        end=number(v[f"{path}.to"]),
        width=number(math.nan if width is None else width),
        depth=number(math.nan if depth is None else depth),
    )


def _within(
    path: str,
    f: Flaw,
    sections: tuple[Station, ...],
    fits: Fits,
    unknown: frozenset[str],
    system: System,
) -> None:
    """Note a flaw that is wider or deeper than the shaft anywhere it lies; beyond the neck the blade is not told."""
    last = float(sections[-1].x)
    start, end = float(f.start), float(f.end)
    if end > last or end <= start:
        return
    x = np.array([[start, end, *(float(s.x) for s in sections if start < float(s.x) < end)]])
    fore, up, _, _ = at(x, sections)
    across, into = {"forward": (up, fore), "aft": (up, fore), "upper": (fore, up), "lower": (fore, up)}.get(
        f.face, (np.maximum(fore, up), np.maximum(fore, up))
    )
    for key, size, most, words in (("width", f.width, across, "wider"), ("depth", f.depth, into, "deeper")):
        if f.face == "all round" and key == "width":
            continue  # all the holes of a row that goes round
        if f"{path}.{key}" not in unknown and float(size) > float(most.max()) * (1 + 1e-9):
            fit = show(float(most.max()), "length", system, side="down")
            write = f'measure it again, and write {key} = "{fit}" at most'
            fits.faults.append(Fault(f"{path}.{key}", f"{words} than the shaft is there", write))
