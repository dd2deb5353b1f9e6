"""Lifting and carrying: the oar held out by grip and lock, its weight coming on suddenly."""

from __future__ import annotations

from collections.abc import Iterator

from shaftcheck.beam import Case
from shaftcheck.loads.statics import Places
from shaftcheck.model import Shaft, number
from shaftcheck.strength import END_ONE_WAY

__all__ = ["cases"]

HELD = number(3600.0)
"""time near the peak of carrying in a life, added up: an hour (judgement) [s]"""
TIMES = number(1.0e4)
"""how often an oar is picked up in a life (judgement) [-]"""


def cases(shaft: Shaft, at: Places) -> Iterator[Case]:
    """Yield the oar held out by hand and lock (or cradle), twice its weight."""
    yield Case(
        key="lift",
        title="lifting and carrying",
        when="when it is lifted and carried",
        forces=(),
        seconds=HELD,
        cycles=TIMES,
        share=TIMES,
        reversed_end=END_ONE_WAY,
        repeated=True,
        source="the oar's own weight, doubled because it comes on suddenly (undamped step load, any text on "
        "vibration); an hour and ten thousand times in a life (judgement)",
        seat=number(float("nan")),
        pull=number(float("nan")),
        driver=number(2.0),
        driver_unit="",
        driver_words="times the oar's own weight",
        weight_factor=2.0,
        weight_is_load=True,
    )
