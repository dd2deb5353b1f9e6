"""Questions as commands and as Python calls, whatever is asked."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

import shaftcheck
from shaftcheck.cli import main
from shaftcheck.questions import QUESTIONS

EXAMPLE = "examples/plain-oar.toml"


@pytest.mark.parametrize("command", QUESTIONS)
def test_every_question_shows_examples(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as e:
        main([command, "--help"])
    assert e.value.code == 0
    said = capsys.readouterr().out
    assert f"shaftcheck {command}" in said
    assert "exit codes" in said


def test_an_answer_comes_first_and_stays_within_100_columns(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["what-breaks", EXAMPLE]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[2].startswith("As a single pull grows")
    assert max(map(len, lines)) <= 100
    assert any("licensed practice" in line for line in lines)


def test_json_has_the_sentence_the_figures_and_the_cautions(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["what-breaks", EXAMPLE, "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["question"] == "what-breaks"
    known = [o["half_gives_way"]["value"] for o in data["single_pull"] if o["half_gives_way"]["value"] is not None]
    assert known == sorted(known)
    assert data["cautions"]


@pytest.mark.parametrize("ending", ["svg", "png", "pdf"])
def test_a_picture_is_written_and_none_is_overwritten(
    ending: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / f"order.{ending}"
    assert main(["what-breaks", EXAMPLE, "--plot", str(file)]) == 0
    kept = file.read_bytes()
    assert len(kept) > 1000
    assert main(["what-breaks", EXAMPLE, "--plot", str(file)]) == 2
    assert file.read_bytes() == kept
    assert "there already" in capsys.readouterr().err


def test_bad_input_is_one_line_and_exit_code_2(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["what-breaks", str(tmp_path / "none.toml")]) == 2
    assert main(["what-breaks", EXAMPLE, "--plot", "picture.gif"]) == 2
    assert capsys.readouterr().err.count("\n") == 2


def test_the_same_in_python() -> None:
    found = shaftcheck.ask("what-breaks", EXAMPLE)
    assert found.answered
    with pytest.raises(shaftcheck.InputError, match="write one of"):
        shaftcheck.ask("what-brakes", EXAMPLE)
