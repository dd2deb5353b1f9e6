"""Parts in per cent: whatever float comes, what a person reads is a figure or plain words."""

from __future__ import annotations

import math
import re

from hypothesis import given
from hypothesis import strategies as st

from shaftcheck.said import BEYOND, NOT_KNOWN, margin_left, percent, used

SIDES = st.sampled_from(["near", "up", "down"])


@given(st.floats(), SIDES, st.sampled_from([0, 2, 4]), st.booleans())
def test_a_part_is_a_figure_or_words(part: float, side: str, digits: int, signed: bool) -> None:
    words = percent(part, side, digits=digits, signed=signed)  # type: ignore[arg-type]
    assert words in (BEYOND, NOT_KNOWN) or re.fullmatch(r"[+-]?\d{1,7}(\.\d+)? %", words)


@given(st.floats(0.0, 50.0))
def test_a_use_is_rounded_up_and_a_margin_down(use: float) -> None:
    """What holds by what is printed holds by what was computed: 100 % is never printed of more than 1."""
    assert int(percent(use, "up").removesuffix(" %")) >= use * 100.0 - 1e-6
    if use > 0.01:
        assert int(margin_left(use).removesuffix(" %")) <= (1.0 / use - 1.0) * 100.0 + 1e-6


def test_what_has_no_end_and_what_is_not_known_are_words() -> None:
    assert (used(math.inf), used(math.nan), percent(math.nan, unknown="")) == (BEYOND, NOT_KNOWN, "")
    assert (margin_left(math.nan), margin_left(0.0)) == ("", "")
