"""The stories beside the examples: every command is run as it stands, and every line quoted is in what it prints."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest

from shaftcheck.cli import main

ROOT = Path(__file__).parents[1]
STORIES = (ROOT / "examples" / "stories.md").read_text("utf-8")
SECTIONS = {part.split("\n", 1)[0].strip(): part for part in STORIES.split("\n## ")[1:]}


def plain(text: str) -> str:
    """Return words alone, as lines are broken otherwise in a story and on a terminal."""
    return " ".join(re.sub(r"-{3,}", " ", text).split())


@pytest.mark.parametrize("name", SECTIONS)
def test_a_story_is_what_happens(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copytree(ROOT / "examples", tmp_path / "examples")
    monkeypatch.chdir(tmp_path)
    blocks = re.findall(r"```console\n\$ shaftcheck (.*?)\n(.*?)```", SECTIONS[name], re.S)
    assert len(blocks) >= 2
    for command, quoted in blocks:
        code = main(shlex.split(command))
        said = capsys.readouterr()
        assert code in (0, 1), said.err
        assert quoted.strip(), f"nothing is held of: {command}"
        for line in quoted.strip().splitlines():
            assert plain(line) in plain(said.out), f"{command}\ndoes not say: {line}\n{said.out[:1500]}"


def test_all_of_it_is_invented() -> None:
    assert "invented" in STORIES.lower()
