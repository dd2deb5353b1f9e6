"""A size is read whole or it is misread: number, fraction and unit stand in one line, on a terminal and on a page."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shaftcheck.answer import Answer, answer
from shaftcheck.border.shown import System, show
from shaftcheck.border.sizes import read
from shaftcheck.said import Dimension
from shaftcheck.show.kept import filled, kept
from shaftcheck.show.papers import papers
from shaftcheck.show.record import record
from shaftcheck.show.sheet import sheet
from shaftcheck.show.table import fitted, full

FOLDER = Path(__file__).parent.parent / "examples"
SYSTEMS: tuple[System, ...] = ("metric", "inches")
KINDS: tuple[Dimension, ...] = (
    "length", "fit", "area", "force", "mass", "stress", "moment", "inertia", "density", "spring", "speed", "time",
)  # fmt: skip
SIZES = st.lists(
    st.builds(
        lambda what, value, system: show(value, what, system),
        st.sampled_from(KINDS),
        st.floats(1e-3, 9.0),
        st.sampled_from(SYSTEMS),
    ),
    min_size=1,
    max_size=12,
)


def in_order(sizes: list[str], text: str) -> bool:
    """Return whether a text holds sizes whole, one after the other."""
    for size in sizes:
        _, found, text = text.partition(size)
        if not found:
            return False
    return True


@settings(deadline=None)
@given(SIZES, st.integers(24, 60))
def test_no_line_ends_within_a_size(sizes: list[str], width: int) -> None:
    text = f"from {' to '.join(sizes)} and so on"
    out = filled(text, width)
    assert in_order(sizes, out.replace("\n", " | "))
    assert " ".join(out.split()) == text
    assert "\u00a0" not in out


@settings(deadline=None)
@given(SIZES, st.integers(0, 200))
def test_no_cell_of_a_table_ends_a_line_within_a_size(sizes: list[str], more: int) -> None:
    out = fitted([(" by ".join(sizes), "b " * more)], ("sizes", "other"), "ll")
    cell = " | ".join(line.split("  ")[0].strip() for line in out.split("\n")[2:])
    assert in_order(sizes, cell)
    assert "\u00a0" not in out


@pytest.mark.parametrize(
    "text", ["5 ft 6 in, 1 3/4 in by 1 1/2 in", "6 ft 4 7/16 in", "4 lb 13 oz", "33.5 lb", "2 x 4"]
)
def test_what_is_kept_together_reads_back(text: str) -> None:
    whole = kept(text)
    assert whole.replace("\u00a0", " ") == text
    for size in re.split(", | by ", whole):
        assert " " not in size or size == "2 x 4"
    if "by" not in text and "x" not in text:
        assert read(whole, "m" if "in" in text else "kg" if "oz" in text else "N") == read(
            text, "m" if "in" in text else "kg" if "oz" in text else "N"
        )


@cache
def asked(name: str, system: System) -> Answer:
    return answer((FOLDER / f"{name}.toml").read_text(encoding="utf-8"), name, system=system)


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("name", ["plain-oar", "hinged-rig"])
@pytest.mark.parametrize("page", [sheet, papers])
def test_no_line_of_a_page_can_end_within_a_size(name: str, system: System, page: Any) -> None:
    """Nowhere in a page's running text is there a plain space before a unit; drawings have no lines that break."""
    html = re.sub(r"<(style|svg|math)\b.*?</\1>", "", page(asked(name, system)), flags=re.S)
    said = re.sub(r"<[^>]*>", "|", html)
    assert re.findall(r"\d\u00a0(?:mm|in)\b", said)
    assert not re.findall(r"\d (?:mm|ft|in|lb|oz|psi|MPa|kg|N|%)(?![\w\u00a0])", said)
    assert not re.findall(r"\d \d+/\d+\b", said)


@pytest.mark.parametrize("system", SYSTEMS)
def test_what_programs_and_terminals_get_has_plain_spaces(system: System) -> None:
    a = asked("hinged-rig", system)
    assert "\u00a0" not in full(a)
    assert "\u00a0" not in json.dumps(record(a), ensure_ascii=False)
