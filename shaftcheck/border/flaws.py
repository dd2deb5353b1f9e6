"""The flaws that a shaft file tells."""

from __future__ import annotations

import math

from shaftcheck.border.keys import FLAW
from shaftcheck.border.values import OneEach
from shaftcheck.errors import Fault
from shaftcheck.model import Flaw, number

__all__ = ["flaws_of"]

NEEDS = {"crease": ("face",), "dent": ("width", "depth"), "tack holes": ("width", "depth"), "knot": ("width",)}
"""what must be told of a flaw besides its place"""


def flaws_of(v: OneEach, count: int, length: float, faults: list[Fault]) -> tuple[Flaw, ...]:
    """Return the flaws, each with its place, face and size.

    Parameters
    ----------
    count : how many the file tells
    length : of the oar [m]
    faults : where what does not fit is noted
    """
    out = []
    for i in range(1, count + 1):
        path = f"flaw.{i}"
        kind, face = str(v.word(f"{path}.kind")), v.word(f"{path}.face")
        start, end = v[f"{path}.from"], v[f"{path}.to"]
        told = {key: v.values.get(f"{path}.{key}") for key in ("face", "width", "depth")}
        for key in NEEDS.get(kind, ()):
            if told[key] is None:
                write = f'write {key} = "{FLAW[key].example}", or "unknown"'
                faults.append(Fault(f"{path}.{key}", f"needed of {kind}: {FLAW[key].help}", write))
        for key, value in told.items():
            if value is not None and key != "face" and key not in NEEDS.get(kind, ()):
                faults.append(Fault(f"{path}.{key}", f"says nothing of {kind}", "leave it out"))
        if end <= start:
            faults.append(
                Fault(f"{path}.to", "not beyond its 'from'", "give both from the handle end, the inner first")
            )
        if end > length * (1 + 1e-12):
            faults.append(Fault(f"{path}.to", "past the tip", "measure it from the handle end"))
        out.append(
            Flaw(
                kind=kind,
                face=face or "",
                start=number(start),
                end=number(end),
                width=number(math.nan if told["width"] is None else float(told["width"])),
                depth=number(math.nan if told["depth"] is None else float(told["depth"])),
            )
        )
    return tuple(out)
