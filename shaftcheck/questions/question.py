"""What a question is, and what it is answered with: plain data that any of `show/` can show.

A question is one file in this folder and one line in `QUESTIONS`. It reads shaft files through `ready`, calls a study
on arrays, and puts what was found into words and into the units of whoever asks. Nothing is computed in `show/`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field
from typing import Any, Literal

import numpy as np

from shaftcheck.border.assemble import Built
from shaftcheck.border.hints import example
from shaftcheck.border.shaftfile import Reading, changed, read
from shaftcheck.border.shown import System
from shaftcheck.errors import Fault, InputError
from shaftcheck.frozen import frozen
from shaftcheck.key import Key, Value
from shaftcheck.measured import Lower, as_measured, lower
from shaftcheck.model import Array

__all__ = [
    "Asked",
    "Curve",
    "Finding",
    "Mark",
    "Picture",
    "Question",
    "Stretch",
    "Table",
    "Tick",
    "Winner",
    "numbers",
    "ready",
]

Tick = Callable[[int, int], None]
"""told how many of how many are done"""


@frozen(eq=True)
class Table:
    """Rows of texts, sizes in the units of whoever asks; at most 100 columns wide with its heads."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numeric: tuple[int, ...] = ()
    """columns that are set to the right"""


@frozen
class Curve:
    """One line of a picture, in the units of its axes; nan leaves a gap."""

    label: str
    x: Array
    y: Array
    low: Array | None = None
    high: Array | None = None
    """a band about it"""
    points: bool = False
    """marks without a line between"""


@frozen(eq=True)
class Stretch:
    """A part of the x axis: a window that remains, or a stretch where it is forbidden, with its reason."""

    start: float
    end: float
    good: bool
    label: str


@frozen(eq=True)
class Mark:
    """One place in a picture that is spoken of."""

    x: float
    y: float
    label: str


@frozen(eq=True)
class Picture:
    """What a person would rather look at than read."""

    title: str
    says: str
    """in a sentence, what it shows: the text for whoever cannot see it"""
    x_label: str
    y_label: str
    """empty where y only tells the curves apart, which are then named where they are"""
    curves: tuple[Curve, ...] = ()
    bars: tuple[tuple[str, float], ...] = ()
    """named lengths instead of curves, first at the top"""
    spans: tuple[tuple[str, float, float, float, float], ...] = ()
    """named figures instead of curves, first at the top: name, work to, 5 % mark, half, 95 % mark"""
    stretches: tuple[Stretch, ...] = ()
    marks: tuple[Mark, ...] = ()
    limit: float | None = None
    """of y (of the bars' length, where there are bars)"""
    limit_label: str = ""


@frozen(eq=True)
class Winner:
    """A shaft that was found, as a shaft file of its own."""

    label: str
    doc: Mapping[str, Any]
    """tables of a shaft file; `border.write.text` makes the file of it"""
    uses: Mapping[str, float]
    """use of every check by name, as the study found it: `check` gives the same of the file"""


@frozen(eq=True)
class Finding:
    """What a question is answered with."""

    question: str
    """its command"""
    title: str
    sentence: str
    """the answer, first of all"""
    answered: bool
    """whether something was found that holds; exit code 0, otherwise 1"""
    system: System
    tables: tuple[Table, ...]
    pictures: tuple[Picture, ...]
    data: Mapping[str, Any]
    """for programs: sizes as `numbers(value, unit)`"""
    searched: tuple[str, ...] = ()
    """what was searched and what binds, what was not looked at"""
    assumptions: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    """beside those of every answer"""
    winners: tuple[Winner, ...] = ()
    """best first"""
    oar: str = ""
    """which oar is answered, as it stands or as changed, where a file tells a change"""

    @property
    def heading(self) -> str:
        """Return the title, with which oar is answered."""
        return f"{self.title} ({self.oar})" if self.oar else self.title

    def __repr__(self) -> str:
        """Return the answer in a line; `show.finding.text` gives the whole."""
        return f"<{self.question}, {self.heading}: {self.sentence.partition('. ')[0].removesuffix('.')}>"


@frozen(eq=True)
class Asked:
    """A question as it is put: its files, its options in SI, and in which units to answer."""

    docs: tuple[tuple[str, Mapping[str, Any]], ...]
    """name and tables of each shaft file"""
    options: Mapping[str, Value]
    """by name; what is left out and has no assumption is not in it"""
    system: System | None = None
    """instead of what the first file asks for"""
    tick: Tick | None = None
    changed: bool = False
    """whether it is asked of the oar as changed, where a file tells a change"""

    def size(self, name: str) -> float | None:
        """Return an option [SI], or None."""
        value = self.options.get(name)
        return None if value is None else float(value)

    def word(self, name: str) -> str:
        """Return a choice or a text; empty where it is left out."""
        return str(self.options.get(name, ""))


@frozen(eq=True)
class Question:
    """A question that people ask."""

    asks: str
    """the question itself, one line"""
    ask: Callable[[Asked], Finding]
    examples: tuple[str, ...]
    """command lines without `shaftcheck`"""
    files: Literal["none", "one", "two"] = "one"
    finds: bool = True
    """whether it looks for a better shaft, which can be written as a file"""
    changed: bool = False
    """whether the oar as changed is answered, where a file tells a change; else the oar as it stands"""
    options: Mapping[str, Key] = field(default_factory=dict)
    """one key for each option; `pin_spacing` is written --pin-spacing"""


def ready(asked: Asked, i: int = 0) -> tuple[Reading, Built, dict[str, Any]]:
    """Return one of the files as understood, the shaft built of it, and its tables.

    Raises
    ------
    InputError
        with every fault of the file; where an input is unknown, that it must be told here.
    """
    name, doc = asked.docs[i]
    table = (changed(doc) if asked.changed else None) or {k: v for k, v in doc.items() if k != "change"}
    reading = read(table, name)
    faults = [
        Fault(
            e.path,
            "unknown, and this question needs it",
            f'measure it and write {example(e.key.example, reading.told)}, or ask "check"',
        )
        for e in reading.entries.values()
        if e.how == "unknown" and not e.key.only_told
    ]
    if faults:
        raise InputError(name, (*reading.faults, *faults))
    built, told = _measured(reading)
    if asked.changed and "change" in doc and "measured" in doc:  # what was measured is of the oar that it is made of
        told = _measured(read({k: v for k, v in doc.items() if k != "change"}, name))[1]
        built = lower(built, told)
    if told.words is None:
        return reading, built, dict(table)
    out = {k: v for k, v in table.items() if k != "measured"}
    return reading, built, {**out, "factors": {**out.get("factors", {}), "own_divisor": f"{built.own:.12g}"}}


def _measured(reading: Reading) -> tuple[Built, Lower]:
    return as_measured(reading, {e.path: e.value for e in reading.entries.values() if e.value is not None})


def numbers(value: float | Array, unit: str) -> dict[str, Any]:
    """Return one figure, or many, with the unit, for programs; what is not finite is null, with why for one figure."""
    a = np.asarray(value, dtype=np.float64)
    if a.ndim == 0:
        v = float(a)
        if np.isfinite(v):
            return {"value": v, "unit": unit}
        return {"value": None, "unit": unit, "why": "not known" if np.isnan(v) else "without limit"}
    return {"values": [float(v) if np.isfinite(v) else None for v in a.ravel()], "shape": list(a.shape), "unit": unit}
