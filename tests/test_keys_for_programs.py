"""What is printed for programs has the keys that the README names, and no others."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from test_record import DOCS, EXAMPLES
from test_shaftfile import PLAIN as PLAIN_DOC

import shaftcheck
from shaftcheck.answer import answer_doc
from shaftcheck.border.shaftfile import parse
from shaftcheck.show import basis, finding
from shaftcheck.show.record import SCHEMA, record

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8").partition("### For programs")[2]
NAMED = ("inputs", "inputs_that_differ", "woods", "spots")
"""whose keys are names that a file or the answer gives: each stands for all"""
FREE = ("sizes", "uses", "used", "governed_by", "kept_of_the_limits")
"""whose keys are names too, and hold nothing but numbers or words"""
NUMBERS = ({"value", "unit"}, {"values", "unit", "shape"}, {"less_than"})
PLAIN, SCARF, HINGED = "examples/plain-oar.toml", "examples/two-wood-scarf.toml", "examples/hinged-rig-scarfed.toml"
SHELF = "examples/shelf/planks.toml"
ABOUT = {"from": "1.1 m", "to": "1.3 m", "step": "50 mm"}
HUNG = '[measured]\nsag = "31 mm"\nsag_weight = "10 kg"\nsag_at = "2.1 m"\nsag_held = "clamped"\nweight = "1.9 kg"\n'
BROKEN = {"broken_at": "1.5 m", "damage_in": "120 mm", "damage_out": "90 mm", "sample_broken": "yes", "shelf": SHELF}
ASKED: dict[str, list[tuple[tuple[str, ...], dict[str, str]]]] = {
    "where": [((SCARF,), ABOUT)],
    "how-thick": [((SCARF,), {"every": "1.0 m"})],
    "which-woods": [((SCARF,), {"shelf": SHELF, "table_woods": "none"}), ((HINGED,), {"woods": "White ash; Teak"})],
    "judge-planks": [((SCARF,), {"shelf": SHELF}), ((PLAIN,), {"shelf": SHELF})],
    "what-breaks": [((PLAIN,), {}), ((HINGED,), {})],
    "how-sure": [((PLAIN,), {"draws": "2000", "series": "4"})],
    "bench-test": [((PLAIN,), {})],
    "match-pair": [(("examples/pair/port.toml", "examples/pair/starboard.toml"), {})],
    "mend": [((PLAIN,), BROKEN)],
    "first-length": [((), {"between_locks": "1.25 m", "strength": "general", "water": "open"})],
}
COMMON = {
    "schema",
    "question",
    "title",
    "oar",
    "sentence",
    "answered",
    "searched",
    "assumptions",
    "cautions",
    "winners",
}


def found(item: Any, path: str = "") -> Iterator[tuple[str, str]]:
    """Yield every key with the path of what holds it."""
    if isinstance(item, list):
        for v in item:
            yield from found(v, f"{path}[]")
    if not isinstance(item, dict) or any(n <= set(item) for n in NUMBERS):
        return
    last = path.rpartition(".")[2]
    if last in FREE:
        return
    for key, value in item.items():
        if last in NAMED:
            yield from found(value, f"{path}.*")
        else:
            yield path, key
            yield from found(value, f"{path}.{key}".removeprefix("."))


def rows(after: str) -> dict[str, set[str]]:
    """Return the keys that the README names in a table, by what its first column says."""
    out: dict[str, set[str]] = {}
    table = README.partition(after)[2].partition("\n\n")[0]
    for line in table.splitlines():
        if m := re.match(r"\| (.*?) \| (.*) \|$", line):
            for name in re.findall(r"`([^`]+)`", m[1]) or [m[1]]:
                out[name] = set(re.findall(r"`([a-z_0-9]+)`", m[2]))
    return out


def test_the_answers_keys_are_those_of_the_readme() -> None:
    docs = [
        *DOCS.values(),
        {**PLAIN_DOC, "change": {"wood": [{"of": "White ash", "runout": "unknown"}]}},
        *(parse(p.read_text("utf-8"), p.name) for p in EXAMPLES),
    ]
    given: dict[str, set[str]] = {}
    for doc in docs:
        for path, key in found(record(answer_doc(doc, "oar"))):
            given.setdefault(path or "the top", set()).add(key)
    assert given == rows("| at | keys |")


@pytest.mark.slow
@pytest.mark.parametrize("question", ASKED)
def test_a_questions_keys_are_those_of_the_readme(question: str) -> None:
    given: set[str] = set()
    for docs, options in ASKED[question]:
        items = [parse(Path(d).read_text("utf-8"), d) for d in docs]
        if question == "bench-test":
            items = [parse(Path(d).read_text("utf-8") + HUNG, d) for d in docs]
        r = finding.record(shaftcheck.ask(question, *items, **options))
        assert set(r) >= COMMON
        assert {k for w in r["winners"] for k in w} <= {"label", "file", "uses"}
        given |= {key for _, key in found({k: v for k, v in r.items() if k not in COMMON})}
    assert given == rows("| question | keys of its own |")[question]


def test_every_question_has_its_row() -> None:
    from shaftcheck.questions import QUESTIONS

    assert set(rows("| question | keys of its own |")) == set(QUESTIONS) == set(ASKED)


def test_what_the_method_rests_on_has_the_keys_of_the_readme() -> None:
    table = README.partition("`shaftcheck basis --json` prints")[2].partition("`shaftcheck basis --sheet")[0]
    assert set(re.findall(r"`([a-z_]+)`", table)) == set(basis.record())
    assert basis.record()["schema"] == SCHEMA
