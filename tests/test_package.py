"""The package: what it shows, what it loads, which way imports go, and that the wheel is whole."""

from __future__ import annotations

import ast
import importlib
import json
import re
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

import shaftcheck
from shaftcheck.checks import JOINTS
from shaftcheck.commands import COMMANDS

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "shaftcheck"
MODULES = {
    ".".join(("shaftcheck", *path.relative_to(PACKAGE).with_suffix("").parts)).removesuffix(".__init__"): path
    for path in sorted(PACKAGE.rglob("*.py"))
    if "species_data" not in path.parts
}


def tracked() -> list[Path]:
    """Return the files of the project: those that git knows, or all that are not made where there is no git."""
    done = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode == 0 and done.stdout:
        return [ROOT / name for name in done.stdout.split("\0") if name and (ROOT / name).is_file()]
    made = re.compile(r"\.venv|\.git|\..*_cache|\.hypothesis|__pycache__|build|.*\.egg-info")
    return [
        path
        for path in sorted(ROOT.rglob("*"))
        if path.is_file() and not any(made.fullmatch(part) for part in path.relative_to(ROOT).parts)
    ]


# what it shows -------------------------------------------------------------------------------------------------------


def test_what_is_named_is_there_and_nothing_else() -> None:
    assert len(set(shaftcheck.__all__)) == len(shaftcheck.__all__)
    assert list(shaftcheck.__all__) == sorted(shaftcheck.__all__)
    for name in shaftcheck.__all__:
        assert getattr(shaftcheck, name).__doc__
    assert dir(shaftcheck) == sorted(shaftcheck.__all__)
    inside = {m.rpartition(".")[2] for m in MODULES} | {"species_data", "annotations", "TYPE_CHECKING", "Any"}
    shown = {n for n in vars(shaftcheck) if not n.startswith("_")} - inside
    assert shown <= set(shaftcheck.__all__)
    with pytest.raises(AttributeError, match="chekc"):
        shaftcheck.chekc  # noqa: B018


@pytest.mark.parametrize("module", MODULES)
def test_every_module_names_what_is_there(module: str) -> None:
    if module == "shaftcheck.__main__":
        return
    loaded = importlib.import_module(module)
    for name in getattr(loaded, "__all__", ()):
        assert hasattr(loaded, name), f"{module}.{name}"


@pytest.mark.parametrize("module", MODULES)
def test_every_module_has_its_docstring(module: str) -> None:
    assert ast.get_docstring(ast.parse(MODULES[module].read_text(encoding="utf-8")))


def test_every_module_stands_in_the_map_of_the_developers_once() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").partition("## Every module")[2]
    named = re.findall(r"^- `([\w/]+\.py)`: \S.{9,}$", text, flags=re.M)
    there = sorted(path.relative_to(PACKAGE).as_posix() for path in MODULES.values())
    assert sorted(named) == there, "write each module with its job at the end of DEVELOPERS.md"


# what it loads -------------------------------------------------------------------------------------------------------


def modules_after(code: str) -> set[str]:
    """Return which modules stand in memory after some code ran in an interpreter of its own."""
    script = f"{code}\nimport json, sys\nprint(json.dumps(sorted(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=ROOT)
    return set(json.loads(done.stdout.splitlines()[-1]))


def loaded_by(code: str) -> set[str]:
    """Return which packages do."""
    return {m.partition(".")[0] for m in modules_after(code)}


HEAVY = {"pint", "sympy", "tabulate", "matplotlib", "scipy"}


@pytest.mark.parametrize(("code", "not_loaded"), [
    ("import shaftcheck", HEAVY | {"numpy", "argparse"}),
    ("import shaftcheck.engine", {"pint", "tabulate", "sympy", "matplotlib", "argparse"}),
    ("import shaftcheck.loads, shaftcheck.studies", {"pint", "tabulate", "sympy", "matplotlib", "argparse"}),
    ("import shaftcheck.answer", {"tabulate", "sympy", "matplotlib", "argparse"}),
    ("import shaftcheck.cli", HEAVY | {"numpy"}),
    *((f"from shaftcheck.cli import main\ntry: main([{name!r}, '--help'])\nexcept SystemExit: pass", HEAVY | {"numpy"})
      for name in COMMANDS),
    ("from shaftcheck.cli import main\nmain(['check', 'examples/plain-oar.toml'])", {"sympy", "matplotlib"}),
    ("from shaftcheck.cli import main\nmain(['check', '--json', 'examples/plain-oar.toml'])",
        {"sympy", "matplotlib", "tabulate"}),
])  # fmt: skip
def test_what_is_not_asked_for_is_not_loaded(code: str, not_loaded: set[str]) -> None:
    assert not loaded_by(code) & not_loaded


# which way imports go ------------------------------------------------------------------------------------------------

ORDER: tuple[tuple[str, ...], ...] = (
    ("frozen",),
    ("errors",),
    ("formula", "trace", "nodes", "traced", "model", "gauss", "said", "key"),
    ("sections", "strength", "wood_relations"),
    ("beam", "movement"),
    ("loads", "checks", "whole", "stow"),
    ("engine",),
    ("studies",),
    ("border",),
    (
        "hinging",
        "cutting",
        "options",
        "stowing",
        "measured",
        "outcome",
        "pulls",
        "places",
        "settle",
        "verdict",
        "advice",
        "answer",
        "along",
        "marking",
        "words",
    ),
    ("inputs", "trail", "basis"),
    ("questions",),
    ("show",),
    ("asking",),
    ("api", "commands"),
    ("cli",),
    ("__main__", ""),
)
"""a module may import those of its own row and of the rows above"""
LEVEL = {name: i for i, row in enumerate(ORDER) for name in row}


def imports(path: Path) -> Iterator[tuple[int, str]]:
    """Yield every module that a file imports, at the top, inside a function or by its name in a registry, with its
    line."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno} imports from a place relative to itself"
            module = node.module or ""
            inner = [f"{module}.{alias.name}" for alias in node.names if f"{module}.{alias.name}" in MODULES]
            yield from ((node.lineno, name) for name in inner or [module])
        elif isinstance(node, ast.Constant) and (late := re.fullmatch(r"(shaftcheck(?:\.\w+)+):\w+", str(node.value))):
            yield node.lineno, late[1]


def part(module: str) -> str:
    return module.partition(".")[2].partition(".")[0]


@pytest.mark.parametrize("module", MODULES)
def test_imports_go_one_way(module: str) -> None:
    assert part(module) in LEVEL, f"give {module} its place in the order"
    for line, name in imports(MODULES[module]):
        if name == "shaftcheck" or name.startswith("shaftcheck."):
            assert LEVEL[part(name)] <= LEVEL[part(module)], f"{module}, line {line} imports {name}"


def test_imports_go_round_nowhere() -> None:
    """Within one row of the order, too: no module reaches itself."""
    edges = {m: {n for _, n in imports(path) if n in MODULES and n != m} for m, path in MODULES.items()}
    for module in edges.values():
        module.discard("shaftcheck")
    done: set[str] = set()

    def walk(module: str, way: tuple[str, ...]) -> None:
        assert module not in way, " -> ".join((*way, module))
        if module in done:
            return
        for other in sorted(edges[module]):
            walk(other, (*way, module))
        done.add(module)

    for module in edges:
        if module != "shaftcheck":
            walk(module, ())


ONLY: list[tuple[str, str]] = [
    ("pint", r"border\.units"),
    ("tabulate", r"show\..*"),
    ("sympy", r"show\.symbols"),
    ("matplotlib", r"show\..*"),
    ("argparse", r"(cli|commands\..*)"),
    ("tomli_w", r"border\.write"),
    ("tomllib", r"border\..*"),
    ("csv", r"border\..*"),
]


@pytest.mark.parametrize(("package", "where"), ONLY)
def test_a_package_is_used_in_one_place_alone(package: str, where: str) -> None:
    for module, path in MODULES.items():
        if re.fullmatch(rf"shaftcheck\.{where}", module):
            continue
        used = [line for line, name in imports(path) if name.partition(".")[0] == package]
        assert not used, f"{module}, line {used[:1]} imports {package}"


def test_one_module_alone_reads_the_species_data() -> None:
    for module, path in MODULES.items():
        tree = ast.parse(path.read_text(encoding="utf-8"))
        docs = {id(n.body[0].value) for n in ast.walk(tree)
                if isinstance(n, ast.Module | ast.FunctionDef | ast.ClassDef) and n.body
                and isinstance(n.body[0], ast.Expr)}  # fmt: skip
        named = [n for n in ast.walk(tree) if isinstance(n, ast.Constant) and id(n) not in docs
                 and "species_data" in str(n.value)]  # fmt: skip
        assert not named or module == "shaftcheck.border.woods", module


def test_the_core_reads_no_file_and_prints_nothing() -> None:
    for module, path in MODULES.items():
        if LEVEL[part(module)] >= LEVEL["border"]:
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                assert node.func.id not in ("open", "print", "input"), f"{module}, line {node.lineno}"
        used = {name.partition(".")[0] for _, name in imports(path)}
        assert not used & {"pathlib", "os", "sys", "io", "logging", "warnings"}, module


@pytest.mark.parametrize("folder", ["checks", "engine.py", "studies"])
def test_no_comparison_lets_the_unknown_through(folder: str) -> None:
    """`use > 1` is false for what is not known; written is `use <= 1`."""
    paths = [PACKAGE / folder] if folder.endswith(".py") else sorted((PACKAGE / folder).glob("*.py"))
    for path in paths:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Compare):
                continue
            for left, op, right in zip([node.left, *node.comparators], node.ops, node.comparators, strict=False):
                greater, less = (left, right) if isinstance(op, ast.Gt | ast.GtE) else (right, left)
                if not isinstance(op, ast.Gt | ast.GtE | ast.Lt):
                    continue
                names = {n.id for n in ast.walk(greater) if isinstance(n, ast.Name)} | {
                    n.attr for n in ast.walk(greater) if isinstance(n, ast.Attribute)
                }
                one = isinstance(less, ast.Constant) and less.value == 1
                assert not (one and names & {"use", "uses"}), f"{path.name}, line {node.lineno}"


def test_every_question_is_in_its_registry() -> None:
    from shaftcheck.questions import QUESTIONS, question_of

    there = {p.stem for p in (PACKAGE / "questions").glob("*.py")} - {"__init__", "question"}
    there = {name for name in there if not name.startswith("_")}
    assert there == {module for module, _ in QUESTIONS.values()}
    for command in QUESTIONS:
        assert question_of(command).examples


def test_every_file_of_a_registry_is_in_it() -> None:
    """A load case or a check that is written and not registered would be passed in silence."""
    for folder, helpers in (
        ("loads", {"__init__", "statics", "rowers", "mounting"}),
        ("checks", {"__init__", "compare", "joint", "clamped", "twowood", "placed", "net", "dowel"}),
    ):
        registry = {name for _, name in imports(PACKAGE / folder / "__init__.py")}
        for path in (PACKAGE / folder).glob("*.py"):
            if path.stem not in helpers:
                name = f"shaftcheck.{folder}.{path.stem}"
                parts = re.match(r"(\w+?)_\w+", path.stem)
                sibling = f"shaftcheck.{folder}.{parts[1]}" if parts else name
                assert {name, sibling} & registry, f"{name} is not registered"


def test_every_joint_is_under_its_own_name_and_imported_when_asked_for() -> None:
    for name, kind in JOINTS.items():
        assert kind.kind == name
        assert kind.declares
    assert "mortise" not in JOINTS
    with pytest.raises(KeyError):
        JOINTS["mortise"]


def test_a_plain_check_imports_what_it_needs_and_makes_no_class_the_slow_way() -> None:
    """Both are most of what a start costs, and nothing else would tell that they came back."""
    code = "from shaftcheck.cli import main\nmain(['check', 'examples/plain-oar.toml'])"
    loaded = modules_after(code) & set(MODULES)
    idle = r"checks\.(scarf|takedown.*|unchecked|cradle|bolt)|questions\..*|api|asking|along|studies\.chance"
    assert not [m for m in loaded if re.fullmatch(rf"shaftcheck\.({idle})", m)]
    written = {m: MODULES[m].read_text(encoding="utf-8") for m in loaded - {"shaftcheck.frozen"}}
    assert not [m for m, text in written.items() if "@dataclass" in text], "write @frozen"


def test_every_command_has_its_file_and_every_file_its_command() -> None:
    assert set(COMMANDS) == {p.stem for p in (PACKAGE / "commands").glob("*.py")} - {"__init__", "question", "terminal"}
    for name, words in COMMANDS.items():
        command = importlib.import_module(f"shaftcheck.commands.{name}")
        assert words
        assert command.EXAMPLES.startswith(f"examples:\n  shaftcheck {name}")
        assert command.arguments.__doc__
        assert command.run.__doc__


# files ---------------------------------------------------------------------------------------------------------------

MOST = 700


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.py")), ids=lambda p: p.stem)
def test_no_module_is_too_long(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= MOST


def test_no_file_names_a_machine_or_a_registry() -> None:
    """Put together here, so that this file does not name them either."""
    words = ["/" + "work/", "/" + "root/", "/" + "home/", "/" + "Users/", "py" + "pi.org", "pythonhosted" + ".org",
             "C:" + "\\", "/" + "tmp/", "file:" + "//", "local" + "host"]  # fmt: skip
    for path in tracked():
        text = path.read_bytes().decode("utf-8", errors="replace")
        for word in words:
            assert word not in text, f"{path.relative_to(ROOT)} names {word}"


def test_no_file_holds_the_marks_of_a_merge() -> None:
    """Put together here, so that this file does not hold them either."""
    for path in tracked():
        text = path.read_bytes().decode("utf-8", errors="replace")
        for mark in ("<" * 7 + " ", ">" * 7 + " "):
            assert mark not in text, path


def test_every_text_file_is_utf_8_with_plain_line_ends() -> None:
    for path in tracked():
        raw = path.read_bytes()
        raw.decode("utf-8")
        assert b"\r\n" not in raw, path
        assert raw == b"" or raw.endswith(b"\n"), path


# the wheel -----------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a wheel built from the files of the project alone, with what this environment has."""
    source, out = tmp_path_factory.mktemp("source"), tmp_path_factory.mktemp("wheel")
    wanted = ("shaftcheck", "species_data", "pyproject.toml", "README.md")
    names = {p.relative_to(ROOT) for p in tracked()} | {p.relative_to(ROOT) for p in MODULES.values()}
    for name in names:
        if name.parts[0] in wanted:
            (source / name).parent.mkdir(parents=True, exist_ok=True)
            (source / name).write_bytes((ROOT / name).read_bytes())
    hook = f"from setuptools.build_meta import build_wheel; build_wheel({str(out)!r})"
    done = subprocess.run([sys.executable, "-c", hook], cwd=source, capture_output=True, text=True, check=False)
    assert done.returncode == 0, (done.stdout + done.stderr)[-2000:]
    (found,) = out.glob("*.whl")
    return found


@pytest.mark.slow
def test_the_wheel_holds_every_module_and_all_data(wheel: Path) -> None:
    held = set(zipfile.ZipFile(wheel).namelist())
    for path in MODULES.values():
        assert path.relative_to(ROOT).as_posix() in held
    for path in (ROOT / "species_data").iterdir():
        if path.suffix in (".csv", ".toml", ".py"):
            assert f"shaftcheck/species_data/{path.name}" in held
    for name in ("shaftcheck/py.typed", "shaftcheck/border/units.txt"):
        assert name in held
    assert not [name for name in held if name.startswith(("tests/", "species_data/", "examples/"))]


@pytest.mark.slow
def test_the_wheel_answers_from_a_place_of_its_own(wheel: Path, tmp_path: Path) -> None:
    """Unpacked beside nothing of the checkout; dependencies are those of the interpreter."""
    with zipfile.ZipFile(wheel) as z:
        z.extractall(tmp_path / "site")
    example = tmp_path / "oar.toml"
    example.write_bytes((ROOT / "examples" / "plain-oar.toml").read_bytes())
    script = (
        f"import sys; sys.path.insert(0, {str(tmp_path / 'site')!r})\n"
        f"import shaftcheck; assert shaftcheck.__file__.startswith({str(tmp_path)!r}), shaftcheck.__file__\n"
        "from shaftcheck.cli import main\n"
        "import shaftcheck.species_data as data; assert 'site' in str(list(data.__path__))\n"
        f"sys.exit(main(['check', {str(example)!r}]) or main(['woods', 'spruce']))"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False, cwd=tmp_path)
    assert done.returncode == 0, done.stderr[-2000:]
    assert "HOLDS" in done.stdout


@pytest.mark.slow
def test_the_wheel_tells_what_it_needs(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as z:
        (name,) = [n for n in z.namelist() if n.endswith("METADATA")]
        meta = z.read(name).decode("utf-8")
        (entry,) = [n for n in z.namelist() if n.endswith("entry_points.txt")]
        assert "shaftcheck = shaftcheck.cli:run" in z.read(entry).decode("utf-8")
    lines = [line for line in meta.splitlines() if line.startswith("Requires-Dist: ") and "extra ==" not in line]
    needed = {re.split(r"[ <>=;\[]", line)[1].replace("-", "_") for line in lines}
    used = {name.partition(".")[0] for path in MODULES.values() for _, name in imports(path)}
    others = {u for u in used if u not in sys.stdlib_module_names and u != "shaftcheck"}
    assert others == needed
