"""Which test holds what against which outside source, read from the tests' own marks.

`python tests/marks.py` writes it to `shaftcheck/show/tested.json`, which goes with the package; `test_basis.py` fails
where that file is stale.
"""

from __future__ import annotations

import ast
import json
from collections.abc import Collection, Iterator, Mapping
from pathlib import Path
from typing import Any

TESTS = Path(__file__).parent
PACKAGE = TESTS.parent / "shaftcheck"
SHIPPED = PACKAGE / "show" / "tested.json"


DEEP = 3
"""calls from a test to a formula, at most: what lies deeper, a test of something else runs through by the way"""
Name = tuple[str, str]
"""a function of the package: its module and its name"""


def marks(formulas: Collection[str]) -> list[dict[str, Any]]:
    """Return every mark: the test, its source, the formulas that it names, and those that it reaches in a few calls."""
    out = []
    package = _package()
    for path in sorted(TESTS.rglob("test_*.py")):
        module = ast.parse(path.read_text(encoding="utf-8"))
        texts = dict(_texts(module))
        functions = {n.name: n for n in module.body if isinstance(n, ast.FunctionDef)}
        imported = _imported(module)
        for function in functions.values():
            if not function.name.startswith("test_"):
                continue
            for source in _sources(function, module, texts):
                used = _used(function, functions, imported)
                direct = {name for _, name in used if name in formulas}
                name = f"{path.relative_to(TESTS).as_posix()}::{function.name}"
                through = sorted(_reached(used, package, formulas) - direct)
                out.append({"test": name, "source": source, "formulas": sorted(direct), "through": through})
    return out


def _package() -> dict[Name, set[Name]]:
    """Return which functions of the package each of them calls."""
    out: dict[Name, set[Name]] = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        module = ast.parse(path.read_text(encoding="utf-8"))
        name = ".".join(("shaftcheck", *path.relative_to(PACKAGE).with_suffix("").parts)).removesuffix(".__init__")
        functions = {n.name: n for n in module.body if isinstance(n, ast.FunctionDef)}
        known = _imported(module) | {f: (name, f) for f in functions}
        for function in functions.values():
            out[name, function.name] = _named(function, known) - {(name, function.name)}
    return out


def _imported(module: ast.Module) -> dict[str, Name]:
    """Return the names that a module has from the package; a module of it under its own name with a dot."""
    out: dict[str, Name] = {}
    for node in ast.walk(module):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("shaftcheck"):
            for a in node.names:
                out[a.asname or a.name] = (node.module or "", a.name)
    return out


def _named(function: ast.FunctionDef, known: Mapping[str, Name]) -> set[Name]:
    """Return the functions of the package that a function names, those of an imported module too."""
    out: set[Name] = set()
    for node in ast.walk(function):
        if isinstance(node, ast.Name) and node.id in known:
            out.add(known[node.id])
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id in known:
            module, name = known[node.value.id]
            out.add((f"{module}.{name}", node.attr))
    return out


def _reached(used: set[Name], package: Mapping[Name, set[Name]], formulas: Collection[str]) -> set[str]:
    seen, level = set(used), set(used)
    for _ in range(DEEP - 1):
        level = {n for name in level for n in package.get(name, set())} - seen
        seen |= level
    return {name for _, name in seen if name in formulas}


def _texts(module: ast.Module) -> Iterator[tuple[str, str]]:
    """Yield the texts that a module gives a name, those of the test modules that it imports from among them."""
    known: dict[str, str] = {}
    for node in module.body:
        if isinstance(node, ast.ImportFrom) and node.module and (TESTS / f"{node.module}.py").exists():
            other = dict(_texts(ast.parse((TESTS / f"{node.module}.py").read_text(encoding="utf-8"))))
            known |= {a.asname or a.name: other[a.name] for a in node.names if a.name in other}
        if isinstance(node, ast.Assign) and len(node.targets) == 1 and isinstance(node.targets[0], ast.Name):
            try:
                known[node.targets[0].id] = _text(node.value, known)
            except LookupError:
                continue
    yield from known.items()


def _text(node: ast.expr, texts: Mapping[str, str]) -> str:
    match node:
        case ast.Constant(value=str(text)):
            return text
        case ast.Name(id=name):
            return texts[name]
        case ast.BinOp(left=left, op=ast.Add(), right=right):
            return _text(left, texts) + _text(right, texts)
        case ast.JoinedStr(values=values):
            return "".join(_text(v.value if isinstance(v, ast.FormattedValue) else v, texts) for v in values)
    raise LookupError(f"'{ast.unparse(node)}' is no text that can be read")


def _sources(function: ast.FunctionDef, module: ast.Module, texts: Mapping[str, str]) -> Iterator[str]:
    """Yield the sources of a test: its own marks, those of its cases, and that of its module."""
    whole = [n.value for n in module.body if isinstance(n, ast.Assign) and ast.unparse(n.targets[0]) == "pytestmark"]
    seen: dict[str, None] = {}
    for node in (n for part in (*function.decorator_list, *whole) for n in ast.walk(part)):
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "pytest.mark.source":
            seen[_text(node.args[0], texts)] = None
    yield from seen


def _used(
    function: ast.FunctionDef, functions: Mapping[str, ast.FunctionDef], imported: Mapping[str, Name]
) -> set[Name]:
    """Return what a test uses of the package, straight or through functions of its own module."""
    out: set[Name] = set()
    done: set[str] = set()
    waiting = [function]
    while waiting:
        one = waiting.pop()
        out |= _named(one, imported)
        own = {n.id for n in ast.walk(one) if isinstance(n, ast.Name) and n.id in functions} - done
        done |= own
        waiting += [functions[name] for name in own]
    return out


def written(found: list[dict[str, Any]]) -> str:
    """Return the marks as the shipped file has them."""
    return json.dumps(found, indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    from shaftcheck.show.symbols import everything

    SHIPPED.write_text(written(marks(set(everything()))), encoding="utf-8")
