"""Twins: two shaft files that differ in one input by a hair, of which one holds and the other falls short.

A check that can't fail passes every ordinary test. So every comparison is given a shaft in which it governs; `twins`
finds the value of one input at which its use is 1, and answers the files just beside it, text in and verdict out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from scipy.optimize import brentq
from test_shaftfile import Doc, edit, toml

from shaftcheck import engine
from shaftcheck.answer import Answer, answer
from shaftcheck.border.assemble import assemble
from shaftcheck.border.shaftfile import read
from shaftcheck.loads import loaded
from shaftcheck.model import number

__all__ = ["Twins", "assert_twins", "twins", "uses"]

Change = str | Callable[[Doc, str], Doc]
"""path of the input that is varied, as "joint.0.wall", or a function that sets it to a text"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Twins:
    """What holds and what falls short, and the value at which the check's use is 1."""

    holds: Answer
    fails: Answer
    at: float
    apart: float
    """how far each lies from it, as a part of it"""


def uses(doc: Mapping[str, Any]) -> dict[str, float]:
    """Return the worst use of every comparison of a file's shaft; of two that bear one name, the worse."""
    reading = read(doc, "twin")
    built = assemble(reading, {e.path: e.value for e in reading.entries.values() if e.value is not None})
    beam = loaded(built.shaft, number(built.own))
    found: dict[str, float] = {}
    for row in engine.run(beam, x=engine.refined(beam)):
        found[row.check] = max(float(row.use), found.get(row.check, 0.0))
    return found


def twins(
    doc: Mapping[str, Any],
    check: str,
    change: Change,
    low: float,
    high: float,
    unit: str = "mm",
    *,
    apart: float = 1e-3,
) -> Twins:
    """Return the answers to two files, just beside the value of one input at which a check's use passes 1.

    Parameters
    ----------
    doc : a shaft file's tables
    check : name of the comparison
    change : what is varied
    low, high : its use lies on the two sides of 1 at these
    unit : of both
    apart : how far each twin lies from the value found, as a part of it
    """

    def at(value: float) -> Doc:
        text = f"{value:.0f}" if unit == "strokes" else f"{value:.9f} {unit}".strip()
        return edit(doc, (change, text)) if isinstance(change, str) else change(edit(doc), text)

    def over(value: float) -> float:
        return min(uses(at(value))[check], 10.0) - 1.0

    ends = over(low), over(high)
    assert ends[0] * ends[1] < 0.0, f"{check}: {ends[0] + 1:.3f} at {low:g}, {ends[1] + 1:.3f} at {high:g}"
    found = float(brentq(over, low, high, xtol=1e-12, rtol=apart / 20.0))
    rises = ends[0] < 0.0
    good, bad = (1.0 - apart, 1.0 + apart) if rises else (1.0 + apart, 1.0 - apart)
    return Twins(
        holds=answer(toml(at(found * good)), "just below"), fails=answer(toml(at(found * bad)), "just above"), at=found,
        apart=apart,
    )  # fmt: skip


def assert_twins(t: Twins, check: str, *, beside: tuple[str, ...] = (), leaps: bool = False) -> None:
    """Assert that one twin holds, that the other falls short by the check's name, and that it is the check that tells.

    `beside` names comparisons that can't but fail with it, such as bending with thrust where a column buckles; `leaps`
    is true of a rule of place, which is met or is not.
    """
    below = {line.check: line for line in t.holds.oars[-1].lines}
    unmet = sorted(f"{line.check}: {line.use:.4f}" for line in below.values() if not line.met)
    assert t.holds.state == "HOLDS", f"at {t.at:g}: {unmet}"
    assert 1.0 - 8.0 * t.apart < below[check].use <= 1.0 or (leaps and below[check].use == 0.0)
    over = {line.check for line in t.fails.oars[-1].lines if line.known and not line.use <= 1.0}
    assert t.fails.state == "FALLS SHORT"
    assert check in over
    assert over <= {check, *beside}, f"at {t.at:g}, others fall short with it: {over}"
