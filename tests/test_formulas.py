"""Every formula of the package, read three ways; what a listener hears; and the worked lines behind a real number."""

from __future__ import annotations

import ast
import inspect
import re
import subprocess
import sys
import textwrap
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import numpy as np
import pint
import pytest
import scipy.special
import sympy as sp

from shaftcheck import engine
from shaftcheck.beam import Beam, mesh
from shaftcheck.border.assemble import assemble
from shaftcheck.border.shaftfile import parse, read
from shaftcheck.border.units import units
from shaftcheck.formula import FORMULAS, TABLES, Formula, Log, Sym, Table, formula, listen
from shaftcheck.loads import loaded
from shaftcheck.model import Array, number
from shaftcheck.show import symbols
from shaftcheck.show.symbols import Reading, everything, mathml, plain, symbolic
from shaftcheck.show.typeset import GREEK, MathML, Text, table_word
from shaftcheck.show.worked import lines_of
from shaftcheck.trace import ANY
from shaftcheck.traced import node_of

ALL = everything()
U = units()
POINTS = 64
every_formula = pytest.mark.parametrize("f", list(ALL.values()), ids=list(ALL))
every_table = pytest.mark.parametrize("table", list(TABLES.values()), ids=list(TABLES))


def drawn(f: Formula, series: int = 7) -> dict[str, Array]:
    """Return random arguments inside the declared ranges; both signs where there is no bound."""
    rng = np.random.default_rng(series)
    out = {}
    for key, sym in f.args.items():
        if sym.low is None and sym.high is None:
            out[key] = rng.uniform(0.5, 2.0, POINTS) * rng.choice([-1.0, 1.0, 1.0], POINTS)
        else:
            low = sym.low if sym.low is not None else (sym.high or 0.0) - 2.0
            high = sym.high if sym.high is not None else low + 2.0
            out[key] = rng.uniform(low + 1e-3 * (high - low), high, POINTS)
    return out


def unit_of(sym: Sym) -> str:
    """Return a symbol's unit; a stress where it takes any."""
    return sym.unit.replace(ANY, "Pa")


def public(f: Formula) -> Any:
    """Return the formula as the package calls it: with its ranges."""
    return getattr(sys.modules[f.compute.__module__], f.name)


def test_everything_is_there() -> None:
    assert len(ALL) >= 32
    assert {"oval_area", "moisture_ratio", "strength_from_gravity", "drag", "fibre_stress", "ring_stress"} <= set(ALL)
    root = Path(inspect.getfile(symbols)).parents[1]
    written = sum(len(re.findall(r"^@formula\(", p.read_text("utf-8"), re.M)) for p in root.rglob("*.py"))
    assert len(ALL) == written


def test_sympy_is_loaded_only_when_asked() -> None:
    code = "import sys, shaftcheck.show.symbols as s; s.everything(); sys.exit('sympy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


# ------------------------------------------------------------------------------------------------------ with symbols


@every_formula
def test_symbols_give_the_same_numbers(f: Formula) -> None:
    args = drawn(f)
    tables = {table_word(name): table for name, table in TABLES.items()}
    numeric = sp.lambdify([sp.Symbol(s.name) for s in f.args.values()], symbolic(f.name), [tables, "scipy", "numpy"])
    with np.errstate(all="ignore"):
        computed, again = f.compute(**args), numeric(*(args[key] for key in f.args))
    assert np.isfinite(computed).sum() >= POINTS // 4
    np.testing.assert_allclose(np.asarray(again, dtype=np.float64), computed, rtol=1e-11)


@every_formula
def test_symbols_of_a_formula_are_told_apart(f: Formula) -> None:
    names = [f.result.name, *(s.name for s in f.args.values())]
    assert len(set(names)) == len(names)
    for name in names:
        assert re.fullmatch(r"[A-Za-z]+(_[A-Za-z0-9]+)?", name), name
    assert {str(s) for s in symbolic(f.name).free_symbols} == set(names[1:])


@every_formula
def test_plain_text(f: Formula) -> None:
    text = plain(f.name)
    assert text.isascii()
    assert "\n" not in text
    assert text.startswith(f"{f.result.name} = ")
    assert text.count("(") == text.count(")")
    words = set(re.findall(r"[A-Za-z]\w*", text))
    assert {s.name for s in f.args.values()} <= words


@every_formula
def test_mathml(f: Formula) -> None:
    root = ET.fromstring(mathml(f.name))
    assert root.tag == "{http://www.w3.org/1998/Math/MathML}math"
    arity = {"mfrac": 2, "msub": 2, "msup": 2, "msqrt": 1}
    found: set[str] = set()
    greek = {v: k for k, v in GREEK.items()}
    for e in root.iter():
        tag = e.tag.rpartition("}")[2]
        assert len(e) == arity.get(tag, len(e))
        parts = [greek.get(t, t) for t in (c.text or "" for c in e)]
        if tag == "msub":
            found.add("_".join(parts))
        elif tag == "mi":
            found.add(greek.get(e.text or "", e.text or ""))
    assert {s.name for s in (f.result, *f.args.values())} <= found


FUNCTIONS: dict[str, Any] = {
    "gamma": scipy.special.gamma, "Γ": scipy.special.gamma, "ln": np.log, "exp": np.exp, "sqrt": np.sqrt,
    "min": np.minimum, "max": np.maximum, "abs": np.abs, "pi": np.pi, "π": np.pi,
    "sin": np.sin, "cos": np.cos, "tan": np.tan, "sinh": np.sinh, "cosh": np.cosh, "tanh": np.tanh,
    "arctan": np.arctan, "arcsin": np.arcsin, "arccos": np.arccos,
}  # fmt: skip


def valued(text: str, f: Formula, args: dict[str, Array]) -> Any:
    """Return what a text in Python's writing comes to; its symbols begin with `v_`."""
    return eval(text, FUNCTIONS | {f"v_{sym.name}": args[key] for key, sym in f.args.items()})


def python_of_plain(text: str) -> str:
    """Return a printed line as Python: a space between two things is a product."""
    out, before, bar = "", "", False
    for token in re.findall(r"[A-Za-z]\w*\(|\d+\.?\d*|[A-Za-z]\w*|\S", text):
        opens = bool(re.match(r"[\w(]", token)) or (token == "|" and not bar)
        ends = before not in ("", ",") and bool(re.match(r"[\w)|]", before[-1]))
        out += " * " if opens and ends and before != "abs(" else ""
        if token == "|":
            bar = not bar
            token = "abs(" if bar else ")"
        elif re.fullmatch(r"[A-Za-z]\w*", token) and token != "pi":
            token = f"v_{token}"
        out, before = out + token.replace("^", "**"), token
    return out


def python_of_mathml(e: ET.Element) -> str:
    """Return an element of MathML as Python."""
    tag, parts = e.tag.rpartition("}")[2], [python_of_mathml(c) for c in e]
    greek = {v: k for k, v in GREEK.items()}
    match tag:
        case "mfrac":
            return f"(({parts[0]}) / ({parts[1]}))"
        case "msup":
            return f"(({parts[0]}) ** ({parts[1]}))"
        case "msqrt":
            return f"sqrt({parts[0]})"
        case "msub":
            return f"{parts[0]}_{parts[1].removeprefix('v_')}"
        case "mi":
            text = e.text or ""
            return text if text in FUNCTIONS and text != "gamma" else f"v_{greek.get(text, text)}"
        case "mo":
            return {"\u2062": "*", "\u00b7": "*", "\u2061": "", "\u2212": "-"}.get(e.text or "", e.text or "")
        case "mrow" if parts[0] == "|":
            return f"abs({''.join(parts[1:-1])})"
    return (e.text or "") + "".join(parts)


@every_formula
def test_what_is_printed_is_what_is_computed(f: Formula) -> None:
    args = drawn(f)
    row = ET.fromstring(mathml(f.name))[0]
    equals = [e.text for e in row].index("=")
    from_mathml = "".join(python_of_mathml(e) for e in list(row)[equals + 1 :])
    with np.errstate(all="ignore"):
        computed = f.compute(**args)
        for text in (python_of_plain(plain(f.name).partition(" = ")[2]), from_mathml):
            np.testing.assert_allclose(valued(text, f, args), computed, rtol=1e-11, err_msg=text)


def typed(**args: str) -> dict[str, Any]:
    return {key: Reading(sp.Symbol(name)) for key, name in args.items()}


def written(reading: Any) -> str:
    return Text().write(reading.expression)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a + b - c", "a + b - c"),
        ("c + b + a", "c + b + a"),
        ("a - (b - c)", "a - (b - c)"),
        ("a * (b + c)", "a (b + c)"),
        ("a / b / c", "a / (b c)"),
        ("a / (b / c)", "a / (b / c)"),
        ("(a / b) * c", "a / b * c"),
        ("a * (b / c)", "a (b / c)"),
        ("a / b * c / 2", "(a / b * c) / 2"),
        ("(a + b) / (a - b)", "(a + b) / (a - b)"),
        ("-a * b", "-a b"),
        ("a - 2 * b", "a - 2 b"),
        ("a + -2 * b", "a - 2 b"),
        ("a ** 2 * a", "a^2 a"),
        ("a * a * b * a", "a^2 b a"),
        ("(a + b) * (a + b)", "(a + b)^2"),
        ("(a ** b) ** c", "(a^b)^c"),
        ("a ** (b ** c)", "a^(b^c)"),
        ("2 * 3.5 * a", "7 a"),
        ("2 * (3.5 * a)", "2 * 3.5 a"),
        ("a ** -1.5", "a^-1.5"),
        ("a ** -1", "1 / a"),
        ("1 / a", "1 / a"),
        ("0.1 * a", "0.1 a"),
        ("1e-7 * a", "1e-7 a"),
        ("np.sqrt(a + b)", "sqrt(a + b)"),
        ("np.hypot(a, b)", "sqrt(a^2 + b^2)"),
        ("np.abs(a - b)", "|a - b|"),
        ("np.exp(-a)", "exp(-a)"),
        ("np.log(a) / np.log(b)", "ln(a) / ln(b)"),
        ("np.minimum(1.0, a)", "min(1, a)"),
        ("np.clip(a, 0.0, b)", "min(max(a, 0), b)"),
        ("np.where(a < b, a, 1 - b)", "a if a < b, else 1 - b"),
        ("np.where(a < b, a, np.where(b >= c, b, c))", "a if a < b, else b if b >= c, else c"),
        ("scipy.special.gamma(1 + 1 / a)", "gamma(1 + 1 / a)"),
    ],
)
def test_how_it_is_written(text: str, expected: str) -> None:
    got = eval(text, {"np": np, "scipy": scipy}, typed(a="a", b="b", c="c"))
    assert written(got) == expected
    ET.fromstring(ET.tostring(MathML().write(got.expression), encoding="unicode"))


def test_a_table_reads_as_its_name() -> None:
    table = next(iter(TABLES.values()))
    read_it = table(typed(a="s")["a"])
    assert written(read_it) == f"{table.name}(s)"
    assert plain(table.name) == f"y = {table.name}(x)"
    assert table.name in mathml(table.name)


def test_what_cannot_be_read_is_refused() -> None:
    a = typed(a="a")["a"]
    with pytest.raises(TypeError):
        np.sum(a)
    with pytest.raises(TypeError):
        np.logaddexp(a, a)
    with pytest.raises(TypeError, match="branch"):
        max(a, 1.0)


def test_mathml_escapes() -> None:
    a, b = typed(a="a", b="b").values()
    text = ET.tostring(MathML().write(np.where(a < b, a, b).expression), encoding="unicode")
    assert "&lt;" in text


# --------------------------------------------------------------------------------------------------- with quantities


def with_units(f: Formula, args: dict[str, Array], wrong: str = "", odd: bool = False) -> dict[str, Any]:
    """Return arguments as quantities, plain ones as they are; the one named `wrong` of another dimension."""
    out: dict[str, Any] = {}
    for key, sym in f.args.items():
        if unit_of(sym) == "":
            out[key] = args[key]
            continue
        q = U.Quantity(args[key], unit_of(sym) + (" * s" if key == wrong else ""))
        out[key] = q.to(unlike(q)) if odd else q
    return out


def unlike(q: Any) -> Any:
    """Return units of the same dimension that are of no coherent system: so no constant can hide a unit."""
    base = {"[length]": "ft", "[mass]": "oz", "[time]": "min"}
    return U.parse_units(" * ".join(f"{base[d]} ** {n}" for d, n in q.dimensionality.items()))


def dimension(result: Any) -> Any:
    return result.dimensionality if hasattr(result, "dimensionality") else U.Quantity(1.0, "").dimensionality


@every_formula
def test_dimensions(f: Formula) -> None:
    args = drawn(f)
    declared = U.Quantity(1.0, unit_of(f.result))
    with np.errstate(all="ignore"):
        bare = f.compute(**args)
        read_with = [f.compute(**with_units(f, args, odd=odd)) for odd in (False, True)]
    for result in read_with:
        assert dimension(result) == declared.dimensionality
        got = result.m_as(unit_of(f.result)) if hasattr(result, "m_as") else result
        np.testing.assert_allclose(got, bare, rtol=1e-10)


@every_formula
def test_a_wrong_dimension_is_noticed(f: Formula) -> None:
    args = drawn(f)
    declared = U.Quantity(1.0, unit_of(f.result)).dimensionality
    for key in (k for k, s in f.args.items() if unit_of(s) != ""):
        try:
            with np.errstate(all="ignore"):
                result = f.compute(**with_units(f, args, wrong=key))
        except pint.DimensionalityError:
            continue
        assert dimension(result) != declared, key


@every_formula
def test_units_are_those_that_are_read(f: Formula) -> None:
    for sym in (f.result, *f.args.values()):
        U.parse_units(unit_of(sym))
        assert sym.meaning


# ------------------------------------------------------------------------------------------------------- its source

NOT_READ = ("Gere", "Roark", "ASTM", "NDS", "EN 1995", "Gradshteyn", "Timoshenko", "Newlin", "MIL-STD", "Table 5-11a")
"""works that are quoted from memory throughout"""
STANDING = r"\((?:19|20)\d\d\)|from memory|by definition|derived|judgement|common practice|secondary"


def fixed(node: ast.AST) -> bool:
    """Return whether Python would make one number of it before anyone can read it."""
    match node:
        case ast.Constant():
            return True
        case ast.Attribute(value=ast.Name(id="np" | "math")):
            return True
        case ast.UnaryOp():
            return fixed(node.operand)
        case ast.BinOp():
            return fixed(node.left) and fixed(node.right)
        case ast.Call():
            return bool(node.args) and all(map(fixed, node.args))
    return False


def faults(f: Formula) -> Iterator[str]:
    """Yield what a formula holds that it must not."""
    (tree,) = ast.parse(textwrap.dedent(inspect.getsource(f.compute))).body
    assert isinstance(tree, ast.FunctionDef)
    known = {a.arg for a in tree.args.kwonlyargs} | {"np", "gamma"} | {n for n in vars() if n in TABLES}
    known |= {n.id for n in ast.walk(tree) if isinstance(n, ast.Name) and isinstance(n.ctx, ast.Store)}
    known |= {k for k, v in vars(sys.modules[f.compute.__module__]).items() if isinstance(v, Table)}
    allowed = (
        ast.Expr, ast.Assign, ast.Return, ast.ImportFrom, ast.alias, ast.BinOp, ast.UnaryOp, ast.Compare, ast.Call,
        ast.Name, ast.Attribute, ast.Constant, ast.operator, ast.unaryop, ast.cmpop, ast.expr_context,
    )  # fmt: skip
    body = [s.value if isinstance(s, ast.AnnAssign) and s.value else s for s in tree.body]
    for statement in body:
        for node in ast.walk(statement):
            if not isinstance(node, allowed):
                yield f"{type(node).__name__} in a formula"
            if isinstance(node, ast.BinOp | ast.Call) and fixed(node):
                yield f"'{ast.unparse(node)}' is folded before it is read"
            if isinstance(node, ast.Name) and node.id not in known:
                yield f"'{node.id}' is no argument of it"
            if isinstance(node, ast.Compare) and len(node.ops) > 1:
                yield f"'{ast.unparse(node)}' branches"
            if isinstance(node, ast.ImportFrom) and node.module != "scipy.special":
                yield f"imports {node.module}"


@every_formula
def test_it_holds_nothing_but_numpy(f: Formula) -> None:
    assert list(faults(f)) == []


def test_the_rule_finds_what_breaks_it() -> None:
    def bad(*, a: Array) -> Array:
        """Break it."""
        top: Any = max
        return np.asarray(top(a, 1.0) + np.pi / 4 * a + a ** (1 / 9) + TINY * np.sqrt(2) if a > 0 else a)

    found = list(faults(Formula("bad", bad, Sym("b"), {"a": Sym("a")}, "", "")))
    for text in ("IfExp", "'np.pi / 4'", "'1 / 9'", "'np.sqrt(2)'", "'TINY'", "'max'"):
        assert any(text in line for line in found), text


TINY = 1e-9


@every_formula
def test_it_says_what_it_is(f: Formula) -> None:
    parameters = inspect.signature(f.compute).parameters
    assert set(parameters) == set(f.args)
    assert all(p.kind is p.KEYWORD_ONLY for p in parameters.values())
    assert f.summary.endswith((".", ")"))
    assert re.search(STANDING, f.source), f.source
    if any(work in f.source for work in NOT_READ):
        assert "from memory" in f.source
    for name in ("source", "summary"):
        assert getattr(f, name).isascii()


@every_table
def test_a_table_says_what_it_is(table: Table) -> None:
    assert table.name.isascii()
    assert re.search(STANDING, table.source), table.source
    if any(work in table.source for work in NOT_READ):
        assert "memory" in table.source


# ----------------------------------------------------------------------------------------------------------- ranges


@every_formula
def test_ranges(f: Formula) -> None:
    call, args = public(f), {key: v[:1] for key, v in drawn(f).items()}
    for key, sym in f.args.items():
        for bound, out in ((sym.low, -np.inf), (sym.high, np.inf)):
            if bound is None:
                continue
            with np.errstate(all="ignore"):
                for inside in (np.nextafter(bound, -out), bound):
                    there = args | {key: np.asarray([inside])}
                    np.testing.assert_array_equal(call(**there), f.compute(**there))
                for outside in (np.nextafter(bound, out), np.nan):
                    assert np.isnan(call(**args | {key: np.asarray([outside])})).all(), key


@every_formula
def test_only_what_is_outside_is_unknown(f: Formula) -> None:
    """One element outside makes that one nan and no other."""
    args = drawn(f)
    with np.errstate(all="ignore"):
        expected = np.array(f.compute(**args))
        for key, sym in f.args.items():
            if sym.low is not None:
                moved = args[key].copy()
                moved[3] = sym.low - 1.0
                got = public(f)(**args | {key: moved})
                assert np.isnan(got[3])
                np.testing.assert_array_equal(np.delete(got, 3), np.delete(expected, 3))


@every_table
def test_tables(table: Table) -> None:
    x, y = np.asarray(table.x), np.asarray(table.y)
    np.testing.assert_array_equal(table(x), y)
    middle = (x[1:] + x[:-1]) / 2.0
    np.testing.assert_allclose(table(middle), (y[1:] + y[:-1]) / 2.0, rtol=1e-14)
    outside = np.asarray([np.nextafter(x[0], -np.inf), np.nextafter(x[-1], np.inf), np.nan])
    assert np.isnan(table(outside)).all()
    percent, metres = (np.multiply(1.0, U.Quantity(middle * n, unit)) for n, unit in ((100.0, "percent"), (1.0, "m")))
    np.testing.assert_allclose(table(percent), table(middle), rtol=1e-14)
    with pytest.raises(pint.DimensionalityError):
        table(metres)


# -------------------------------------------------------------------------------------------------------- listening


@pytest.fixture
def made() -> Iterator[None]:
    """Forget formulas that a test makes."""
    before = set(FORMULAS)
    yield
    for name in set(FORMULAS) - before:
        del FORMULAS[name]


@every_formula
def test_listening_changes_nothing(f: Formula) -> None:
    args = drawn(f)
    for key, sym in f.args.items():
        if sym.low is not None:
            args[key][5] = sym.low - 1.0
    with np.errstate(all="ignore"):
        off = np.asarray(public(f)(**args))
        with listen() as log:
            on = public(f)(**args)
    assert off.tobytes() == on.tobytes()
    call = node_of(on).call  # type: ignore[attr-defined]
    assert log.calls == [call]
    assert call.formula is f
    assert call.result.tobytes() == on.tobytes()
    assert all(call.args[key].value is v for key, v in args.items())


def test_nested_listening() -> None:
    area, one = public(ALL["rectangle_area"]), number(1.0)
    with listen() as outer:
        area(w=one, d=one)
        with listen() as inner:
            area(w=one, d=one)
            area(w=one, d=one)
        area(w=one, d=one)
    area(w=one, d=one)
    assert (len(outer.calls), len(inner.calls)) == (2, 2)
    with pytest.raises(RuntimeError), listen():
        raise RuntimeError
    with listen() as after:
        pass
    area(w=one, d=one)
    assert not after.calls


def test_a_result_that_is_its_argument_is_told_apart(made: None) -> None:
    @formula(Sym("b"), "by definition", a=Sym("a"))
    def same(*, a: Array) -> Array:
        """Return what it is given."""
        return a

    one = number(1.0)
    with listen() as log:
        got = same(a=one)
    assert got is not one
    assert len(log.calls) == 1
    assert [line.name for line in lines_of(got, ())] == ["same"]


def test_a_table_is_heard() -> None:
    table = TABLES["slope of grain, mean of tests"]
    with listen():
        between, at_a_row = (lines_of(table(number(x)), ())[0] for x in (0.06, 0.05))
    assert between.text == (
        "y = slope of grain, mean of tests(x) = 0.93 + (0.89 - 0.93) (0.06 - 0.05) / (0.06667 - 0.05) = 0.906"
    )
    assert at_a_row.text == "y = slope of grain, mean of tests(x) = 0.93"
    assert between.valid == "0 <= x <= 0.2"


# ---------------------------------------------------------------------------------------------------- a whole shaft

EXAMPLES = Path(__file__).parents[1] / "examples"


def example(name: str) -> Beam:
    """Return a shaft of an example file under its loads."""
    reading = read(parse((EXAMPLES / name).read_text("utf-8"), name), name)
    built = assemble(reading, {path: e.value for path, e in reading.entries.items() if e.value is not None})
    return loaded(built.shaft, number(built.own))


@pytest.fixture(scope="module")
def heard() -> tuple[Beam, Log, list[Any]]:
    """Return the example oar, what was heard while it was loaded and checked, and its comparisons."""
    with listen() as log:
        beam = example("plain-oar.toml")
        found = engine.uses(beam, mesh(beam.shaft))
    return beam, log, found


def test_listening_to_a_whole_shaft_changes_nothing(heard: tuple[Beam, Log, list[Any]]) -> None:
    beam = example("plain-oar.toml")
    for a, b in zip(engine.uses(beam, mesh(beam.shaft)), heard[2], strict=True):
        for name in ("use", "demand", "capacity", "x"):
            assert np.asarray(getattr(a, name)).tobytes() == np.asarray(getattr(b, name)).tobytes(), (a.check, name)
