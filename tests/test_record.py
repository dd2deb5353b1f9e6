"""The JSON record, and use from Python: strict, whole, with units, and the same as what the command says."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pint
import pytest
from test_shaftfile import HINGED, JOINTED, PLAIN, Doc, edit, toml

import shaftcheck
from shaftcheck.answer import answer_doc
from shaftcheck.cli import main
from shaftcheck.questions import QUESTIONS
from shaftcheck.show.record import record, value

WHY = ("not known", "without limit", "none is enough", "none that was tried is too much")
ROOT = Path(__file__).parent.parent
EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))
CHANGED = {**PLAIN, "change": {"rower": {"strength": "trained"}, "wood": [{"of": "White ash", "runout": "1:20"}]}}
DOCS: dict[str, Doc] = {
    "plain": PLAIN,
    "short": edit(PLAIN, ("rower.strength", "trained")),
    "jointed": JOINTED,
    "hinged": HINGED,
    "changed": CHANGED,
    "nothing known": edit(PLAIN, ("wood.0.of", "Scots pine")),
    "lacking": edit(PLAIN, ("wood.0.of", "Afrormosia")),
    "unknown": edit(PLAIN, ("wood.0.runout", "unknown"), ("care.kept", "unknown")),
    "measured": edit(PLAIN, ("measured", {"weight": "1.9 kg", "balance": "985 mm", "sag": "31 mm",
                                          "sag_weight": "10 kg", "sag_at": "2.1 m", "sag_held": "clamped"})),
}  # fmt: skip
TOP = {
    "schema", "shaftcheck", "file", "title", "note", "verdict", "oars", "options", "inputs", "woods", "unknown",
    "measured", "cautions", "not_part_of_the_question",
}  # fmt: skip


def strict(text: str) -> Any:
    """Return what JSON text holds, where it is strict: no NaN, no Infinity, no key twice."""

    def refuse(name: str) -> None:
        raise AssertionError(name)

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        assert len({k for k, _ in pairs}) == len(pairs)
        return dict(pairs)

    return json.loads(text, parse_constant=refuse, object_pairs_hook=once)


def numbers(item: Any, path: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield every number with its unit."""
    if isinstance(item, dict):
        if "value" in item:
            yield path, item
        for k, v in item.items():
            yield from numbers(v, f"{path}.{k}")
    elif isinstance(item, list):
        for i, v in enumerate(item):
            yield from numbers(v, f"{path}.{i}")


@pytest.mark.parametrize("name", DOCS)
def test_the_record_is_strict_json(name: str) -> None:
    r = record(answer_doc(DOCS[name], "oar"))
    assert strict(json.dumps(r, allow_nan=False)) == r
    assert set(r) == TOP


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_the_command_prints_the_record_of_the_examples(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", str(path), "--json"])
    r = strict(capsys.readouterr().out)
    assert set(r) == TOP
    assert r["file"] == str(path)
    assert r == record(shaftcheck.check(path).answer)


@pytest.mark.parametrize("name", DOCS)
def test_every_number_has_a_unit_that_is_read_and_a_reason_where_it_is_none(name: str) -> None:
    known = shaftcheck.units()
    found = list(numbers(record(answer_doc(DOCS[name], "oar"))))
    assert len(found) > 100
    for path, item in found:
        assert "unit" in item, path
        unit = item["unit"].replace("kg m^2", "kg*m^2")
        if unit:
            known.parse_units(unit.replace("^", "**"))
        if item["value"] is None:
            assert item["why"] in WHY or "no pull can be told" in item["why"], path
        else:
            assert isinstance(item["value"], float), path
            assert math.isfinite(item["value"]), path
            assert "why" not in item, path


def test_what_is_not_known_and_what_has_no_limit_are_told_apart() -> None:
    assert value(math.nan, "N") == {"value": None, "unit": "N", "why": "not known"}
    assert value(math.inf, "N") == {"value": None, "unit": "N", "why": "without limit"}
    assert value(-0.5, "m") == {"value": -0.5, "unit": "m"}
    (oar,) = record(answer_doc(JOINTED, "oar"))["oars"]
    (line,) = [line for line in oar["checks"] if not line["known"]]
    for key in ("use", "margin", "demand", "capacity", "good_for"):
        assert line[key]["value"] is None
        assert line[key]["why"] == "not known"
    assert line["missing"]


def test_a_neck_that_is_far_too_thin_falls_short() -> None:
    thin = {"at": "1.92 m", "across": "8 mm"}
    a = answer_doc(edit(PLAIN, ("section.5", thin)), "oar")
    assert a.state == "FALLS SHORT"
    assert strict(json.dumps(record(a), allow_nan=False))


def test_the_verdict_of_the_record_is_the_last_oars() -> None:
    r = record(answer_doc(CHANGED, "oar"))
    assert [o["label"] for o in r["oars"]] == ["as it stands", "as changed"]
    assert r["verdict"] == r["oars"][-1]["verdict"]


def test_the_record_holds_the_values_of_the_wood_with_their_sources() -> None:
    r = record(answer_doc(PLAIN, "oar"))
    values = r["woods"]["Sitka spruce (US)"]["values"]
    assert any(v["property"] == "modulus of rupture" and v["condition"] == "12 %" and v["taken"] for v in values)
    for v in values:
        assert v["source"]
        assert v["printed"]
        assert v["how"] in ("seen", "from memory", "derived", "given")
    ladder = r["oars"][0]["strength"]["rungs"]
    first = next(v for v in values if v["property"] == "modulus of rupture" and v["condition"] == "12 %" and v["taken"])
    u = shaftcheck.units()
    assert ladder[0]["after"]["value"] == pytest.approx((float(first["printed"]) * u(first["unit"])).to("Pa").magnitude)
    product = ladder[0]["after"]["value"]
    for rung in ladder[1:]:
        product *= rung["factor"]["value"]
        assert rung["after"]["value"] == pytest.approx(product)
        assert rung["source"]


def test_checks_stand_worst_first() -> None:
    for doc in DOCS.values():
        for oar in record(answer_doc(doc, "oar"))["oars"]:
            lines = oar["checks"]
            over = [(line["use"]["value"] or 0.0) > 1.0 or line["use"].get("why") == "without limit" for line in lines]
            rank = [0 if o else 2 if line["known"] else 1 for o, line in zip(over, lines, strict=True)]
            assert rank == sorted(rank)
            for k in (0, 2):
                uses = [line["use"]["value"] for line, r in zip(lines, rank, strict=True) if r == k]
                known = [u for u in uses if u is not None]
                assert known == sorted(known, reverse=True)


def test_use_margin_and_good_for_belong_together() -> None:
    (oar,) = record(answer_doc(PLAIN, "oar"))["oars"]
    cases = {c["case"]: c for c in oar["cases"]}
    for line in oar["checks"]:
        use = line["use"]["value"]
        assert line["margin"]["value"] == pytest.approx(1.0 / use - 1.0)
        if line["case"]:
            load = cases[line["case"]]["load"]
            assert line["good_for"]["value"] == pytest.approx(load["value"] / use)
            assert line["good_for"]["unit"] == load["unit"]
    for key, asked in oar["asked"].items():
        assert oar["work_to"][key]["value"] <= asked["value"] / cases[key]["use"]["value"] * (1 + 1e-12)


def test_loads_times_one_plus_margin_land_on_the_limit() -> None:
    """The greatest pull times 1 + margin of its case, told as a measured pull, is used to 100 % there."""
    doc = edit(PLAIN, ("rower.greatest_pull", "600 N"))
    case = next(c for c in answer_doc(doc, "oar").oars[0].cases if c.case == "once")
    again = edit(PLAIN, ("rower.greatest_pull", f"{600.0 / case.use:.6f} N"))
    there = next(c for c in answer_doc(again, "oar").oars[0].cases if c.case == "once")
    assert there.use == pytest.approx(1.0, abs=1e-6)


# from Python ---------------------------------------------------------------------------------------------------------


def test_a_mapping_a_file_and_quantities_are_the_same_oar(tmp_path: Path) -> None:
    path = tmp_path / "oar.toml"
    path.write_text(toml(PLAIN), encoding="utf-8")
    u = shaftcheck.units()
    quantities = edit(PLAIN, ("oar.length", 2.46 * u.m), ("rig.lock", 690 * u.mm), ("duty.boat_speed", 1.5 * u.m / u.s))
    results = [shaftcheck.check(shaft) for shaft in (PLAIN, path, str(path), quantities)]
    for r in results:
        assert r.state == "HOLDS"
        assert r.holds
        assert r.use("bending") == pytest.approx(results[0].use("bending"), rel=1e-12)


def test_quantities_of_another_registry_are_taken() -> None:
    other: Any = pint.UnitRegistry()
    doc = edit(PLAIN, ("oar.length", 2.46 * other.meter), ("oar.blade_weight", 1.5 * other.pound))
    assert shaftcheck.check(doc).use("bending") == pytest.approx(
        shaftcheck.check(edit(PLAIN, ("oar.blade_weight", "1.5 lb"))).use("bending"), rel=1e-12
    )


@pytest.mark.parametrize(("path", "unit"), [
    ("oar.length", "kg"), ("oar.length", "dimensionless"), ("rower.strength", "m"),
    ("wood.0.of", "m"),
    ("wood.0.runout", "m"), ("duty.strokes", "m"), ("oar.inside", "m"), ("title", "m"), ("factors.own_divisor", "m"),
])  # fmt: skip
def test_a_quantity_where_it_does_not_fit_is_refused(path: str, unit: str) -> None:
    u = shaftcheck.units() if unit != "dimensionless" else pint.UnitRegistry()
    with pytest.raises(shaftcheck.InputError):
        shaftcheck.check(edit(PLAIN, (path, 2.0 * u(unit))))


@pytest.mark.parametrize("bad", [math.nan, math.inf, -1.0, 0.0])
def test_a_quantity_that_is_no_size_is_refused(bad: float) -> None:
    with pytest.raises(shaftcheck.InputError, match=r"oar\.length"):
        shaftcheck.check(edit(PLAIN, ("oar.length", bad * shaftcheck.units().m)))


def test_a_key_that_is_no_text_is_refused() -> None:
    with pytest.raises(shaftcheck.InputError):
        shaftcheck.check({**PLAIN, 1: 2})  # type: ignore[dict-item]


def test_the_mapping_stays_as_it_was() -> None:
    doc = edit(CHANGED)
    before = repr(doc)
    shaftcheck.check(doc)
    assert repr(doc) == before


def test_the_result_gives_quantities_and_names_its_checks() -> None:
    r = shaftcheck.check(PLAIN, name="mine")
    assert r.pull("once").to("lbf").magnitude == pytest.approx(r.answer.oars[0].pulls["once"] / 4.4482216152605)
    assert r.weight.to("g").magnitude == pytest.approx(float(r.answer.oars[0].whole.mass) * 1000)
    assert 0.5 < r.balance.to("m").magnitude < 2.0
    assert r.use("bending") == max(line.use for line in r.answer.oars[0].lines if line.check == "bending")
    with pytest.raises(LookupError, match="bending"):
        r.use("bendign")
    assert r.as_record() == record(r.answer)
    assert "HOLDS" in r.as_text()
    assert all(r.cautions)
    assert r.sentences[0] in " ".join(r.as_text().split())


def test_a_result_and_a_finding_show_themselves_in_a_line() -> None:
    r, found = shaftcheck.check(PLAIN), shaftcheck.ask("what-breaks", PLAIN)
    assert repr(r) == f"<{PLAIN['title']}: HOLDS. {r.sentences[0]}>"
    assert found.sentence.startswith(repr(found).partition(f"<what-breaks, {found.title}: ")[2].removesuffix(">"))
    assert len(repr(found).splitlines()) == 1
    assert len(repr(found)) < 400


@pytest.mark.parametrize("ask", [lambda s: shaftcheck.check(s), lambda s: shaftcheck.ask("what-breaks", s)])
@pytest.mark.parametrize(
    "shaft", ["nowhere.toml", Path("nowhere.toml"), ".", "", "a\nb", 3, None, b"oar.toml", [PLAIN]]
)
def test_what_is_no_shaft_is_one_line(shaft: Any, ask: Callable[[Any], object]) -> None:
    with pytest.raises(shaftcheck.InputError) as e:
        ask(shaft)
    assert len(str(e.value).splitlines()) == 1
    assert isinstance(shaft, str | Path) == ("can't be read" in str(e.value))


def test_a_stroke_that_there_is_not_lists_those_there_are() -> None:
    with pytest.raises(LookupError, match="no stroke 'twice'; there are: steady, hard, start, once"):
        shaftcheck.check(PLAIN).pull("twice")  # type: ignore[arg-type]
    for stroke in ("steady", "hard", "start", "once"):
        assert f"'{stroke}'" in str(shaftcheck.Result.pull.__doc__)
    assert all(f"'{question}'" in str(shaftcheck.ask.__doc__) for question in QUESTIONS)


def test_an_option_of_a_question_is_named_once() -> None:
    with pytest.raises(shaftcheck.InputError) as e:
        shaftcheck.ask("where", PLAIN, step="3", nope="1 m", **{"from": "9 miles"})
    assert [f.key for f in e.value.faults] == ["nope", "from", "step"]
    with pytest.raises(shaftcheck.InputError, match="write metric or inches"):
        shaftcheck.ask("where", PLAIN, system="feet")


def test_a_check_of_two_joints_of_a_kind_gives_the_worse_or_not_known() -> None:
    """`use` of a name that stands twice: not known where one of the two is not."""
    r = shaftcheck.check(edit(JOINTED, ("joint", [JOINTED["joint"][0], {**JOINTED["joint"][0], "from": "1.5 m",
                                                                       "to": "1.6 m"}])))  # fmt: skip
    assert math.isnan(r.use("repair"))
    assert not r.holds


def test_all_faults_of_a_mapping_come_at_once() -> None:
    with pytest.raises(shaftcheck.InputError) as e:
        shaftcheck.check(edit(PLAIN, ("oar.length", "2.46"), ("rower.strength", "strong"), ("rower.hands", None)))
    assert [f.key for f in e.value.faults] == ["oar.length", "rower.strength", "rower.hands"]
    assert isinstance(e.value, ValueError)
    assert isinstance(e.value, shaftcheck.ShaftcheckError)


def test_quantities_can_be_kept_in_a_set() -> None:
    u = shaftcheck.units()
    assert len({2 * u.meter, 2 * u.meter, 2 * u.newton, 2 * u.inch, 2 * u.percent}) == 4
    assert {2 * u.newton: "pull"}[2 * u.newton] == "pull"
    assert (1 * u.inch).to_base_units().magnitude == 0.0254
