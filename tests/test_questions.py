"""Questions as commands and as Python calls, whatever is asked."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

import shaftcheck
from shaftcheck import asking
from shaftcheck.border.shaftfile import parse
from shaftcheck.cli import main
from shaftcheck.questions import QUESTIONS, question_of
from shaftcheck.questions.question import Asked, Finding, ready
from shaftcheck.show.finding import record, text

EXAMPLE, CUT = "examples/plain-oar.toml", "examples/old-oar-cut.toml"


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


@pytest.mark.parametrize("command", QUESTIONS)
def test_of_a_file_with_a_change_it_is_said_which_oar_is_answered(
    command: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In the title for people, in a key for programs; the questions of strength are about the oar as changed."""
    q = question_of(command)
    if q.files == "none":
        return
    oars: list[str] = []

    def answers(asked: Asked) -> Finding:
        oars.append(type(ready(asked)[1].shaft.rig).__name__)
        return Finding(question=command, title="Invented", sentence="So.", answered=True, system="metric", tables=(),
                       pictures=(), data={})  # fmt: skip

    files = [EXAMPLE] * (1 if q.files == "two" else 0)
    monkeypatch.setattr(asking, "question_of", lambda _: replace(q, ask=answers))
    options = {k: v.example for k, v in q.options.items() if v.assume is None and not v.optional}
    found = shaftcheck.ask(command, CUT, *files, **options)
    whole = shaftcheck.ask(command, EXAMPLE, *files, **options)
    assert found.oar == {"OnePiece": "as it stands", "Hinged": "as changed"}[oars[0]]
    assert text(found).startswith(f"Invented ({found.oar})")
    assert record(found)["oar"] == found.oar
    assert ("[change]" in " ".join(found.searched)) == (found.oar == "as it stands")
    assert whole.oar == ""
    assert record(whole)["oar"] is None
    strength = {"what-breaks", "how-sure", "how-thick", "where", "bench-test"}
    assert (found.oar == "as changed") == (command in strength)


def test_the_halves_of_a_cut_oar_are_tested_and_a_sag_before_the_cut_is_of_the_whole() -> None:
    doc = parse(Path(CUT).read_text("utf-8"), CUT)
    hung = {"sag": "31 mm", "sag_weight": "10 kg", "sag_at": "2.1 m", "sag_held": "clamped"}
    whole = {k: v for k, v in doc.items() if k != "change"}
    cut, before = (shaftcheck.ask("bench-test", {**d, "measured": hung}) for d in (doc, whole))
    assert [s["part"] for s in cut.data["setups"]] == ["the outer half", "the inner half"]
    assert [s["part"] for s in before.data["setups"]] == ["the oar"]
    assert cut.data["measured"] == before.data["measured"]
    assert any(t.title.endswith("of the oar as it stands") for t in cut.tables)
    assert "file without its [change]" in " ".join(cut.searched)


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
