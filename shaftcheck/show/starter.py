"""A starter shaft file, written from the keys themselves so that it can't drift from what is read."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping

from shaftcheck.border.keys import LISTS, RIGS, TABLES
from shaftcheck.checks import JOINTS
from shaftcheck.key import Key

__all__ = ["starter"]

BLANK = "?"
WIDTH = 100
REMARK = 36
"""column of the remarks"""
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
answer_in = "metric"                # or inches
"""


def _line(setting: str, remark: str) -> Iterator[str]:
    """Yield a setting with its remark beside it, over as many lines as it takes."""
    first, *rest = textwrap.wrap(remark, WIDTH - REMARK - 2, break_on_hyphens=False)
    if len(setting) >= REMARK:
        yield setting
        setting = ""
    yield f"{setting:<{REMARK}}# {first}"
    yield from (f"{'':{REMARK}}# {line}" for line in rest)


def _rows(keys: Mapping[str, Key], kind: str = "", off: bool = False) -> Iterator[str]:
    """Yield the lines of a table's keys; with `off` all of them are remarks."""
    for name, key in keys.items():
        words = key.help + (f" ({', '.join(key.choices)})" if key.choices else "")
        mark = "# " if off else ""
        if name == "kind" and kind:
            yield from _line(f'{mark}kind = "{kind}"', key.help)
        elif key.assume is not None:
            yield from _line(f'# {name} = "{key.assume}"', f"{words}; taken if left out")
        elif key.optional and (off or name not in _ONE_OF):
            yield from _line(f'# {name} = "{key.example}"', words)
        else:
            yield from _line(f'{mark}{name} = "{BLANK}"', f"{words}, as {key.example}")


def starter(rig: str) -> str:
    """Return a commented starter for a rig, 'lock' or 'hinged': what is needed stands open with a question mark."""
    out = [_TOP.rstrip()]
    for table, keys in TABLES.items():
        out += ["", f"[{table}]", *(_rows(RIGS[rig], rig) if table == "rig" else _rows(keys))]
    for table, keys in LISTS.items():
        out += ["", f"# {_NOTES[table]}"]
        if table == "joint":
            for kind, joint in JOINTS.items():
                out += ["# [[joint]]", *_rows({"kind": keys["kind"], **joint.keys}, kind, off=True), ""]
            continue
        if table == "flaw":
            out += ["# [[flaw]]", *_rows(keys, off=True)]
            continue
        for _ in range(2 if table == "section" else 1):
            out += [f"[[{table}]]", *_rows(keys)]
    return "\n".join(out).rstrip() + "\n"
