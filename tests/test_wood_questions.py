"""The questions of woods, planks, pairs, mending and first length as commands: width, units, pictures, plain data."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from shaftcheck.cli import main

SHELF = ["--shelf", "examples/shelf/planks.toml"]
ASKED: dict[str, list[str]] = {
    "which-woods": ["which-woods", "examples/two-wood-scarf.toml", *SHELF, "--woods", "White ash; Noble fir"],
    "which-woods, hinged": ["which-woods", "examples/hinged-rig.toml", *SHELF, "--woods", "White ash; Noble fir"],
    "judge-planks": ["judge-planks", "examples/two-wood-scarf.toml", *SHELF],
    "match-pair": ["match-pair", "examples/pair/port.toml", "examples/pair/starboard.toml", "--most", "3 mm"],
    "mend": [
        "mend",
        "examples/plain-oar.toml",
        "--broken-at",
        "1.6 m",
        "--damage-in",
        "60 mm",
        "--damage-out",
        "60 mm",
    ],
    "first-length": ["first-length", "--between-locks", "1.25 m"],
}
asked = pytest.mark.parametrize("name", ASKED)


@asked
@pytest.mark.parametrize("system", ["metric", "inches"])
def test_the_answer_comes_first_within_100_columns_and_in_one_system(
    name: str, system: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*ASKED[name], "--answer-in", system]) in (0, 1)
    lines = capsys.readouterr().out.splitlines()
    assert max(map(len, lines)) <= 100
    assert lines[2][0].isupper() or lines[2][0].isdigit()
    other = r"\d (mm|kg|N|MPa|GPa|N m)\b" if system == "inches" else r"\d (in|lb|oz|psi|ft)\b"
    told = [line for line in lines if not line.startswith("Caution")]
    assert not [line for line in told if re.search(other, line)]


@asked
def test_programs_get_plain_data_and_people_a_picture(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "picture.svg"
    assert main([*ASKED[name], "--json", "--plot", str(file)]) in (0, 1)
    data = json.loads(capsys.readouterr().out)
    assert data["sentence"]
    assert data["searched"]
    assert data["cautions"]
    assert file.read_text("utf-8").count("<path") > 5


@asked
def test_what_is_written_is_a_shaft_file_that_check_takes(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "best.toml"
    assert main([*ASKED[name], "--write", str(file)]) == 0
    capsys.readouterr()
    assert main(["check", str(file), "--brief"]) == 0
    assert "HOLDS" in capsys.readouterr().out
