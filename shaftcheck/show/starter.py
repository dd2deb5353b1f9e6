"""A starter shaft file, written from the keys themselves so that it can't drift from what is read."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping

from shaftcheck.border.hints import example
from shaftcheck.border.keys import LISTS, RIGS, TABLES
from shaftcheck.border.planks import PLANK
from shaftcheck.border.shown import System
from shaftcheck.checks import JOINTS
from shaftcheck.key import Key

__all__ = ["shelf", "starter"]

BLANK = "?"
WIDTH = 100
REMARK = 36
"""column of the remarks"""
_TIE = "\u00a0"
"""in a remark, a space that no line ends at"""
_ONE_OF = ("across", "hand_moves", "blade_moves")
"""of several ways to tell the same, those that stand open"""
_NOTES = {
    "section": "at least the handle end and the neck; size by fore_and_aft and up_and_down, or across, or girth",
    "wood": "from the handle end on; give 'to' for each but the last",
    "joint": "one for every joint that is there; take the # away from all of its lines that start with a key",
    "flaw": "one for every crease, dent, row of tack holes, knot, and for what sits on the shaft",
}
_TOP = """\
# A shaft file. Replace every question mark; take the # away from what you know.
# Sizes carry their unit: 47.5 mm, 1-13/16 in, 9 ft 2 1/2 in, 70 kg, 155 lb.
# An inch mark needs single quotes around the size: '2 1/2"'.
# Write (measured) behind what you measured. Where you do not know, write unknown, or the range
# that it may lie in, as "unknown (28 mm to 34 mm)"; the answer says what hangs on it.
# All places along the shaft are measured from the handle end.

title = "my oar"
# note = "as measured in May"       # printed below the title
answer_in = "{system}"{space}# or {other}
"""
_CHANGE = """\
# An oar that you have and mean to cut: above how it is, here what will be. Both are checked, and
# what may be done with it is compared. Take the # away from [change.rig], kind and each question
# mark. Sections, woods, joints that change go into [[change.section]] and so on, all of them."""
_WHOLE = """\
# An oar that is whole yet, and is to be cut for a hinged rig, is better begun without --rig hinged:
# then it is checked as it stands and as cut, and what may be done with it is compared.
"""
_SHELF = """\
# Planks in hand. Replace every question mark; take the # away from what you know.
# The more you know the better. Sizes carry their unit. One [[plank]] for each; they may stand in a
# shaft file too.
"""


def _line(setting: str, remark: str) -> Iterator[str]:
    """Yield a setting with its remark beside it, over as many lines as it takes."""
    first, *rest = (w.replace(_TIE, " ") for w in textwrap.wrap(remark, WIDTH - REMARK - 2, break_on_hyphens=False))
    if len(setting) >= REMARK:
        yield setting
        setting = ""
    yield f"{setting:<{REMARK}}# {first}"
    yield from (f"{'':{REMARK}}# {line}" for line in rest)


def _tied(size: str) -> str:
    """Return a size that does not go over two lines."""
    return size.replace(" ", _TIE)


def _rows(
    keys: Mapping[str, Key], system: System, kind: str = "", off: bool = False, one_of: tuple[str, ...] = _ONE_OF
) -> Iterator[str]:
    """Yield the lines of a table's keys; with `off` all of them are remarks."""
    for name, key in keys.items():
        words = key.help + (f" ({', '.join(key.choices)})" if key.choices else "")
        mark = "# " if off else ""
        if name == "kind" and kind:
            yield from _line(f'{mark}kind = "{kind}"', key.help)
        elif key.assume is not None:
            about = example(key.assume, system)  # never passed off as what is taken
            taken = "taken if left out" if about == key.assume else f"{_tied(key.assume)} taken if left out"
            yield from _line(f'# {name} = "{about}"', f"{words}; {taken}")
        elif key.optional and name not in one_of:
            yield from _line(f'# {name} = "{example(key.example, system)}"', words)
        else:
            yield from _line(f'{mark}{name} = "{BLANK}"', f"{words}, as {_tied(example(key.example, system))}")


def starter(rig: str, system: System = "metric") -> str:
    """Return a commented starter for a rig, 'lock' or 'hinged': what is needed stands open with a question mark."""
    other = "metric" if system == "inches" else "inches"
    out = [_TOP.rstrip().format(system=system, space=" " * (36 - 14 - len(system)), other=other)]
    if rig == "hinged":
        out[0] = out[0].replace("\n\n", f"\n{_WHOLE}\n", 1)
    for table, keys in TABLES.items():
        rows = _rows(RIGS[rig], system, rig) if table == "rig" else _rows(keys, system)
        out += ["", f"[{table}]", *rows]
    for table, keys in LISTS.items():
        out += ["", f"# {_NOTES[table]}"]
        if table == "joint":
            for kind, joint in JOINTS.items():
                out += ["# [[joint]]", *_rows({"kind": keys["kind"], **joint.keys}, system, kind, True, ()), ""]
            continue
        if table == "flaw":
            out += ["# [[flaw]]", *_rows(keys, system, off=True, one_of=())]
            continue
        for _ in range(2 if table == "section" else 1):
            out += [f"[[{table}]]", *_rows(keys, system)]
    if rig == "lock":
        changed = {name: key for name, key in RIGS["hinged"].items() if name != "hand"}
        out += ["", _CHANGE, "# [change.rig]", *_rows(changed, system, "hinged", off=True)]
    return "\n".join(out).rstrip() + "\n"


def shelf(system: System = "metric") -> str:
    """Return a commented starter for planks in hand: what is needed stands open with a question mark."""
    return "\n".join([_SHELF, "[[plank]]", *_rows(PLANK, system)]) + "\n"
