"""Where a shaft changes at once: its surface with its grain, a shoulder's foot, the end of solid wood, a thin wall."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from test_shaftfile import edit

from shaftcheck.answer import answer_doc
from shaftcheck.checks.member import beyond_the_tables, run_out_of_both
from shaftcheck.model import number

FOLDER = Path(__file__).parent.parent / "examples"
PLAIN: dict[str, Any] = tomllib.loads((FOLDER / "plain-oar.toml").read_text(encoding="utf-8"))


def section(at: str, deep: float, wide: float, **more: str) -> dict[str, str]:
    return {"at": at, "fore_and_aft": f"{deep} mm", "up_and_down": f"{wide} mm", **more}


def tapered(end: str, deep: float, wide: float) -> dict[str, Any]:
    """Return the plain oar, made stout at the lock and going over to a lesser size close outboard of it."""
    rows = [section("0 mm", 37, 37), section("150 mm", 39, 39), section("690 mm", 52, 52), section("720 mm", 62, 61),
            section(end, deep, wide), section("1450 mm", 45, 43), section("1920 mm", 38, 36)]  # fmt: skip
    return edit(PLAIN, ("section", rows))


# ------------------------------------------------------------------------------------------- grain and surface together


def test_grain_and_taper_on_one_face_add() -> None:
    """A face that runs out at 1:15 by its grain and falls away 1:15 by its taper is cut at about 1:9."""
    rows = [section("0 mm", 37, 37), section("150 mm", 39, 39), section("690 mm", 52, 52), section("700 mm", 58, 57),
            section("760 mm", 50, 49), section("1450 mm", 45, 43), section("1920 mm", 38, 36)]  # fmt: skip
    both = edit(PLAIN, ("section", rows), ("wood.0.runout", "1:15"))
    assert answer_doc(both, "oar").state == "FALLS SHORT"
    assert answer_doc(edit(both, ("wood.0.runout", "1:40")), "oar").state == "HOLDS"


def test_it_is_never_taken_less_steep_than_either() -> None:
    s, fall = np.meshgrid(np.linspace(0.0, 1 / 6, 20), np.linspace(0.0, 1 / 6, 20))
    both = run_out_of_both(s=s, fall=fall, usual=number(0.02))
    assert np.all(both >= s)
    assert np.all(both >= fall)
    np.testing.assert_allclose(both[fall <= 0.02], np.maximum(s, fall)[fall <= 0.02])
    assert np.all(both[s >= 0.02] == (s + np.maximum(fall - 0.02, 0.0))[s >= 0.02])


@pytest.mark.source("ASTM D245, bending, slope of grain 1:8 and 1:6: 53 and 40 % (from memory)")
def test_beyond_the_tables_the_last_line_goes_on() -> None:
    """From 53 % at 1:8 through 40 % at 1:6, straight on: 33.5 % at 1:5.3, nothing left at 1:4."""
    s = 1 / 6 + (1 / 6 - 1 / 8) * np.array([0.0, 0.5, 4.0])
    left = 0.40 * beyond_the_tables(s=s, last=number(1 / 6), m=number(7.8))
    np.testing.assert_allclose(left, [0.40, 0.40 - 0.065, 0.0], atol=1e-12)
