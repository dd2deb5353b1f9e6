"""The flaws that a shaft file tells."""

from __future__ import annotations

import math
from contextlib import suppress

from shaftcheck.border.fit import Fits, Values
from shaftcheck.border.keys import FLAW
from shaftcheck.errors import AbsentError, Fault
from shaftcheck.model import Flaw, number

__all__ = ["flaws_of"]

NEEDS = {"crease": ("face",), "dent": ("width", "depth"), "tack holes": ("width", "depth"), "knot": ("width",)}
"""what must be told of a flaw besides its place"""


def flaws_of(v: Values, count: int, fits: Fits) -> tuple[Flaw, ...]:
    """Return the flaws without a fault, each with its place, face and size.

    Parameters
    ----------
    count : how many the file tells
    """
    out = []
    for i in range(1, count + 1):
        _fits(v, f"flaw.{i}", fits)
        with suppress(AbsentError):
            out.append(_flaw(v, f"flaw.{i}"))
    return tuple(out)


def _fits(v: Values, path: str, fits: Fits) -> None:
    for key in ("face", "width", "depth"):
        with suppress(AbsentError):
            kind, there = v.choice(f"{path}.kind"), v.word(f"{path}.{key}") is not None
            if key in NEEDS.get(kind, ()) and not there:
                write = f'write {key} = "{FLAW[key].example}", or "unknown"'
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
