"""Worked lines: what is printed is worked again from the printed text alone, for every comparison of many shafts."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import numpy as np
import pint
import pytest
import scipy.special
from test_flaws import ASH, PLUGGED, flawed
from test_hinge import BOLTED
from test_shaftfile import HINGED, JOINTED, PLAIN, edit, toml
from test_takedown import CLAMPED
from test_takedown import doc as takedown

from shaftcheck.answer import Line, Oar, answer
from shaftcheck.border.units import units
from shaftcheck.formula import TABLES
from shaftcheck.inputs import NAMES
from shaftcheck.show.typeset import GREEK
from shaftcheck.show.worked import WorkedLine, worked

U = units()
EXAMPLES = sorted((Path(__file__).parents[1] / "examples").glob("*.toml"))
HOLLOW_OAR = edit(PLAIN, ("oar.inside", "hollow"), ("section", [{**s, "wall": "9 mm"} for s in PLAIN["section"]]))
SHAPES = {
    shape: edit(PLAIN, ("section", [{"at": at, "fore_and_aft": d, "up_and_down": w, "shape": shape, **more}
                                    for at, d, w in (("0 mm", "46 mm", "40 mm"), ("300 mm", "56 mm", "48 mm"),
                                                     ("1.92 m", "40 mm", "36 mm"))]))
    for shape, more in (("superoval", {"fullness": "2.7"}), ("rectangle", {}))
}  # fmt: skip
LEVERED = edit(PLAIN, ("duty.levering", "braced"), ("duty.boat_and_crew", "300 kg"), ("factors.own_divisor", "1.2"))
SHIPPED = [path.stem for path in EXAMPLES]
IN_INCHES = ("plain-oar", "hinged-rig", "takedown-oar", "two-wood-scarf")
"""files worked in inches too in every run; the rest before a release"""
FILES: dict[str, str] = {path.stem: path.read_text("utf-8") for path in EXAMPLES} | {
    name: toml(doc)
    for name, doc in {
        "hinged": HINGED,
        "bolted": BOLTED,
        "plugged": PLUGGED,
        "repair": JOINTED,
        "dented": flawed(ASH, "dent", "800 mm", "830 mm", face="forward", width="8 mm", depth="4 mm"),
        "takedown": takedown(),
        "button": takedown({"held_by": "button", "button_depth": "20 mm", "pin_stands": "anywhere"}),
        "clamped": takedown(CLAMPED),
        "knotty": flawed(ASH, "knot", "0.9 m", "0.93 m", face="aft", width="8 mm"),
        "hollow": HOLLOW_OAR,
        "levered": LEVERED,
        **SHAPES,
    }.items()
}


@cache
def oar_of(name: str) -> Oar:
    return answer(FILES[name], name).oars[-1]


def lines_of(name: str) -> list[Line]:
    return list(oar_of(name).lines)


@cache
def steps_of(name: str, i: int, system: Any = "metric", digits: int = 4) -> tuple[WorkedLine, ...]:
    """Return the worked lines of one comparison of a file, by its place among the answer's."""
    return worked(oar_of(name), oar_of(name).lines[i], system=system, digits=digits)


def all_of(name: str, system: Any = "metric", digits: int = 4) -> list[tuple[Line, tuple[WorkedLine, ...]]]:
    return [(line, steps_of(name, i, system, digits)) for i, line in enumerate(oar_of(name).lines)]


every_file = pytest.mark.parametrize("name", list(FILES))
every_file_both_ways = pytest.mark.parametrize(
    ("name", "system"),
    [
        pytest.param(name, system, marks=[] if system == "metric" or name in IN_INCHES else [pytest.mark.long])
        for name in FILES
        for system in ("metric", "inches")
    ],
)


# ------------------------------------------------------------------------------------ reading what is printed

WORDS: dict[str, Any] = {
    "sqrt": np.sqrt, "ln": np.log, "exp": np.exp, "min": np.minimum, "max": np.maximum, "abs": np.abs, "pi": np.pi,
    "sin": np.sin, "cos": np.cos, "tan": np.tan, "sinh": np.sinh, "cosh": np.cosh, "tanh": np.tanh,
    "arctan": np.arctan, "arctan2": np.arctan2, "arcsin": np.arcsin, "gamma": scipy.special.gamma,
}  # fmt: skip
NAME = r"(?:N|mm|MPa|m|kg|s|Pa|lbf|in|psi|ft|slug)(?:\^[\d.]+)?"
UNIT = re.compile(rf"(?<=\d) (?:1(?=/)|{NAME}(?: {NAME})*)(?:/(?:{NAME}|\({NAME}(?: {NAME})*\)))?(?![A-Za-z(])")


def keyed(text: str) -> float:
    """Return what a calculator makes of a printed text, units left out."""
    out, before, bar = "", "", False
    for token in re.findall(r"[A-Za-z]+\d?(?=\()|[A-Za-z]+|\d+\.?\d*(?:e-?\d+)?|\S", UNIT.sub("", text)):
        opens = bool(re.match(r"[\w(]", token)) or (token == "|" and not bar)
        ends = before == "pi" or (before not in WORDS and bool(re.search(r"[\d)|]$", before)))
        out += " * " if opens and ends and not out.endswith("abs(") else ""
        if token == "|":
            bar = not bar
            token = "abs(" if bar else ")"
        out, before = out + token.replace("^", "**"), token if token != "abs(" else "("
    with np.errstate(all="ignore"):
        return float(eval(out, {"__builtins__": {}}, WORDS))


def keyed_mathml(e: ET.Element) -> str:
    """Return an element of MathML as Python, units left out."""
    tag, parts = e.tag.rpartition("}")[2], [keyed_mathml(c) for c in e]
    greek = {v: k for k, v in GREEK.items()}
    match tag:
        case "mfrac":
            return f"(({parts[0]}) / ({parts[1]}))"
        case "msup":
            return f"(({parts[0]}) ** ({parts[1]}))" if parts[0] else ""
        case "msqrt":
            return f"sqrt({parts[0]})"
        case "mtext" | "mspace":
            return ""  # a unit
        case "mi":
            text = e.text or ""
            return {"Γ": "gamma", "π": "pi"}.get(text, greek.get(text, text))
        case "mo":
            signs = {"\u2062": "*", "\u00b7": "*", "\u00d7": "*", "\u2061": "", "\u2212": "-"}
            return signs.get(e.text or "", e.text or "")
        case "mrow" if parts[0] == "|":
            return f"abs({''.join(parts[1:-1])})"
        case "mrow" if any(c.tag.endswith("mspace") for c in e):
            return parts[0] if len(e) == 3 else "(" + "".join(parts[:3]) + ")"
    return (e.text or "") + "".join(parts)


def digits_of(number: str, digits: int) -> str:
    return f"{float(number):.{digits - 1}e}"


def worked_again(line: WorkedLine, digits: int = 4) -> None:
    """Hold a line against itself: from its own printed text follows its own printed result."""
    if line.result.number in ("not known", "without limit") or "not known" in line.working:
        return
    again = keyed(line.working)
    if float(line.result.number) == 0.0:
        assert abs(again) <= 1e-6 * max([1e-300, *(abs(float(q.number)) for q in line.given)]), line.text
    else:
        either = {f"{again * (1.0 + hair):.{digits - 1}e}" for hair in (-1e-12, 0.0, 1e-12)}  # of a tie
        assert digits_of(line.result.number, digits) in either, line.text


def base(number: str, unit: str) -> Any:
    """Return a printed quantity as pint has it."""
    out = U.Quantity(float(number), "dimensionless")
    for i, side in enumerate(unit.replace("(", "").replace(")", "").split("/")):
        for word, _, power in (w.partition("^") for w in side.split() if w != "1"):
            one = U.Quantity(1.0, "lbf * s**2 / ft" if word == "slug" else word)
            out = out * one ** (float(power or 1) * (-1 if i else 1))
    return out


# ----------------------------------------------------------------------------------------------- every comparison


@every_file_both_ways
def test_every_printed_line_is_found_again(name: str, system: Any) -> None:
    for _, steps in all_of(name, system):
        for step in steps:
            assert step.text.isascii(), step.text
            assert step.source, step.text
            if step.kind in ("formula", "table", "arithmetic"):
                worked_again(step)
            else:
                assert step.words, step.text


@every_file
def test_the_last_line_gives_the_use_that_the_answer_prints(name: str) -> None:
    for line, steps in all_of(name):
        last = steps[-1]
        assert last.result.symbol == "U", line.check
        if np.isfinite(line.use):
            assert digits_of(last.result.number, 4) == f"{line.use:.3e}", line.check
        else:
            assert last.result.number == ("not known" if np.isnan(line.use) else "without limit"), line.check


@every_file
def test_demand_and_capacity_stand_in_the_lines(name: str) -> None:
    for line, steps in all_of(name, digits=6):
        found = [s.result.value for s in steps] + [q.value for s in steps for q in s.given]
        for value in (line.demand, line.capacity):
            if np.isfinite(value) and value != 0.0 and len(steps) > 1 and line.unit in ("Pa", "N", ""):
                scale = 1e-6 if line.unit == "Pa" else 1.0
                assert any(np.isclose(abs(v), value * scale, rtol=1e-4) for v in found if np.isfinite(v)), line.check


@every_file
def test_no_line_ends_before_what_was_told(name: str) -> None:
    for line, steps in all_of(name):
        for i, step in enumerate(steps, 1):
            assert "not followed" not in step.words, (line.check, step.text)
            assert step.kind != "told" or len(steps) == i, (line.check, step.text)
            assert step.kind != "told" or line.use in (0.0, np.inf) or np.isnan(line.use), (line.check, step.text)
            for q in step.given:
                assert q.line is not None or q.origin, (line.check, q)
                assert q.meaning, (line.check, q)
                if q.line is not None:
                    assert 1 <= q.line < i, (line.check, step.text, q)
                if q.origin == "a number of the method":
                    assert q.number in ("0", "1") or step.name, (line.check, step.text, q)


@every_file_both_ways
def test_a_number_from_a_line_is_that_line_s_result(name: str, system: Any) -> None:
    for line, steps in all_of(name, system):
        for step in steps:
            for q in (*step.given, *step.meets):
                if q.line is None or q.number in ("not known", "without limit"):
                    continue
                result = steps[q.line - 1].result
                if result.number in ("not known", "without limit"):
                    continue
                here, there = base(q.number, q.unit), base(result.number, result.unit)
                assert here.dimensionality == there.dimensionality, (line.check, q, result)
                assert np.isclose(here.m_as(there.units), there.m, rtol=6e-4, atol=1e-30), (q, result)


@every_file
def test_what_is_solved_meets_its_equation(name: str) -> None:
    for line, steps in all_of(name, digits=6):
        for step in steps:
            if step.meets and step.result.number not in ("not known", "without limit", "0"):
                left, right = step.meets
                if "not known" not in (left.number, right.number) and np.isfinite(line.use):
                    assert np.isclose(left.value, right.value, rtol=2e-5), (line.check, step.text, left, right)


@pytest.mark.parametrize("name", SHIPPED)
def test_the_typeset_lines_say_the_same(name: str) -> None:
    for _, steps in all_of(name)[::3]:
        for step in steps:
            root = ET.fromstring(step.working_mathml)
            ET.fromstring(step.equation_mathml)
            if step.expression is None or "not known" in step.text:
                continue
            (row,) = root
            equals = [i for i, e in enumerate(row) if e.text == "="]
            text = "".join(keyed_mathml(e) for e in list(row)[equals[0] + 1 : equals[-1]])
            with np.errstate(all="ignore"):
                again = float(eval(text, {"__builtins__": {}}, WORDS))
            assert np.isclose(again, keyed(step.working), rtol=1e-9, atol=1e-12), step.text


@pytest.mark.parametrize("digits", [3, 5, 7])
def test_more_digits_are_found_again_too(digits: int) -> None:
    line = lines_of("plain-oar")[0]
    for step in worked(oar_of("plain-oar"), line, digits=digits):
        if step.expression is not None:
            worked_again(step, digits)


def test_a_chain_goes_from_what_was_told_to_the_use() -> None:
    line = next(x for x in lines_of("plain-oar") if x.check == "bending")
    names = [s.name for s in worked(oar_of("plain-oar"), line)]
    wanted = {"oval_second_moment", "fibre_stress", "both_ways", "moisture_ratio", "lower_five_percent", "size_factor"}
    assert wanted <= set(names)
    assert names[-1] == "part_used_both_ways"
    told = {q.symbol for s in worked(oar_of("plain-oar"), line) for q in s.given if q.line is None}
    assert {"P_st", "x_h", "P_12", "P_g", "V", "n_l"} <= told


def test_the_source_of_a_wood_s_figure_is_its_printed_row() -> None:
    line = next(x for x in lines_of("plain-oar") if x.check == "bending")
    steps = worked(oar_of("plain-oar"), line)
    (ratio,) = (s for s in steps if s.name == "moisture_ratio")
    assert all("Table 5-3" in q.origin for q in ratio.given if q.symbol in ("P_12", "P_g"))


def test_a_table_is_worked_between_its_rows() -> None:
    for name in ("plain-oar", "two-wood-scarf"):
        for _, steps in all_of(name):
            for step in steps:
                if step.kind == "table":
                    table = TABLES[step.name]
                    assert np.isclose(float(step.result.number), table(np.asarray(step.given[0].value)), rtol=6e-4)


def test_every_number_of_the_model_has_its_name() -> None:
    for symbol, unit, words, origin in NAMES.values():
        assert re.fullmatch(r"[A-Za-z]+(_[A-Za-z0-9{}]+)?", symbol), symbol
        U.parse_units(unit)
        assert words
        assert origin


def test_a_comparison_that_is_not_there() -> None:
    with pytest.raises(LookupError):
        worked(oar_of("plain-oar"), next(x for x in lines_of("takedown") if x.check.startswith("takedown")))


def test_units_of_a_line_go_together() -> None:
    """A calculator needs no factor between the units of one line."""
    coherent = [
        {"N", "mm", "MPa"},
        {"N", "m", "kg", "s", "Pa"},
        {"lbf", "in", "psi"},
        {"lbf", "ft", "slug", "s"},
        {"s"},
    ]
    for name in ("plain-oar", "hinged-rig"):
        for system in ("metric", "inches"):
            for _, steps in all_of(name, system):
                for step in steps:
                    used = {w for q in (*step.given, step.result) for w in re.findall(r"[A-Za-z]+", q.unit)}
                    assert any(used <= some for some in coherent), step.text


@pytest.mark.parametrize("name", SHIPPED)
def test_a_number_of_the_method_is_short(name: str) -> None:
    for _, steps in all_of(name):
        for step in steps:
            for decimal in re.findall(r"(?<![\w.])\d+\.\d+", step.equation):
                assert len(decimal.replace(".", "").lstrip("0")) <= 6, step.text
                assert "0.0000000" not in decimal, step.text


def test_a_unit_is_told_from_what_follows_it() -> None:
    assert keyed("pi * 48.75 mm * (50 mm)^3 / 64") == pytest.approx(np.pi * 48.75 * 50**3 / 64)
    assert keyed("0.183 + 1.084 (1300 s / 1 s)^-0.0464") == pytest.approx(0.183 + 1.084 * 1300**-0.0464)
    assert keyed("|-9370.2 N mm| * 48.75 mm / (2 * 284360 mm^4)") == pytest.approx(9370.2 * 48.75 / 2 / 284360)
    assert keyed("min(0.5 1/mm^2, 2) (3 N - 1 N)") == 1.0


def test_pint_agrees_about_the_units_of_each_line() -> None:
    """Worked with its units by pint, a line comes out in the unit that it prints."""
    for name in ("plain-oar", "hinged-rig"):
        for _, steps in all_of(name, "inches"):
            for step in steps:
                if step.kind != "arithmetic" or "not known" in step.text or "ln" in step.working:
                    continue
                try:
                    got = with_units(step)
                except pint.DimensionalityError:
                    pytest.fail(step.text)
                want = base("1", step.result.unit)
                assert U.Quantity(got).dimensionality == want.dimensionality or float(step.result.number) == 0.0, (
                    step.text
                )


def with_units(step: WorkedLine) -> Any:
    import sympy as sp

    names = [q.symbol for q in step.given]
    fn = sp.lambdify([sp.Symbol(n) for n in names], step.expression, [{"minimum": min, "maximum": max}, "numpy"])
    return fn(*(base(q.number, q.unit) for q in step.given))
