"""The oar made to order, where something of the rig is unknown: never HOLDS, nor FALLS SHORT, on one value of it."""

from __future__ import annotations

import pytest
from test_followed import OLD
from test_shaftfile import edit

from shaftcheck.answer import Answer, answer_doc
from shaftcheck.border.shown import say
from shaftcheck.outcome import Option
from shaftcheck.show.record import record
from shaftcheck.show.sheet import sheet
from shaftcheck.show.table import full

LINED = edit(
    OLD,
    ("change.rig.liner", "rubber"),
    ("change.rig.liner_thickness", "1/4 in"),
    ("change.rig.inner_cradle", "8 in"),
    ("change.rig.outer_cradle", "8 in"),
)
"""invented: an oar that holds cut"""


def ordered(clamp: str) -> Option:
    return _ordered(answer_doc(edit(LINED, ("change.rig.clamp_force", clamp)), "oar"))


def _ordered(a: Answer) -> Option:
    (option,) = (o for o in a.options if o.label == "order it purpose-made")
    return option


@pytest.mark.parametrize("clamp", ["unknown", "unknown (50 lb to 1500 lb)"])
def test_an_unknown_clamp_is_unknown_of_the_oar_made_to_order_too(clamp: str) -> None:
    assert ordered("300 lb").state == "HOLDS"
    option = ordered(clamp)
    assert option.state == "NOT SETTLED"
    assert "the lightest that holds with some of what is not known" in say(option.words[0])
    assert "find out the clamp force" in option.second


@pytest.mark.parametrize(("low", "high"), [(50, 1500), (250, 350), (20, 60), (300, 9000)])
def test_over_a_range_it_is_as_at_its_ends_or_not_settled(low: int, high: int) -> None:
    """HOLDS needs both ends to hold, FALLS SHORT both to fall short; each end alone is told as known."""
    state = ordered(f"unknown ({low} lb to {high} lb)").state
    ends = {ordered(f"{force} lb").state for force in (low, high)}
    assert state == "NOT SETTLED" or {state} == ends


def test_what_is_taken_for_granted_of_it_is_told_wherever_it_is() -> None:
    a = answer_doc(LINED, "oar")
    words = "clear straight wood all through, run-out 1:20, no flaws"
    assert words in " ".join(full(a).split())
    assert words in " ".join(sheet(a).split())
    (told,) = (o for o in record(a)["options"] if o["option"] == "order it purpose-made")
    assert any(words in w["text"] if isinstance(w, dict) else words in w for w in told["words"])
