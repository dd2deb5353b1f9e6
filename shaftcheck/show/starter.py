"""A starter shaft file, written from the keys themselves so that it can't drift from what is read."""

from __future__ import annotations

from shaftcheck.border.keys import LISTS, RIGS, TABLES
from shaftcheck.checks import JOINTS
from shaftcheck.key import Key

__all__ = ["starter"]

BLANK = "?"


def _row(name: str, key: Key) -> str:
    words = key.help + (f" ({', '.join(key.choices)})" if key.choices else "")
    if key.assume is not None:
        return f'# {name} = "{key.assume}"'.ljust(34) + f"# {words}; taken if left out"
    if key.optional:
        return f'# {name} = "{key.example}"'.ljust(34) + f"# {words}"
    return f'{name} = "{BLANK}"'.ljust(34) + f"# {words}, as {key.example}"


def _opened(row: str, key: Key) -> str:
    return row.removeprefix("# ").replace(f'"{key.example}"', f'"{BLANK}"')


def starter(rig: str) -> str:
    """Return a commented starter for a rig, 'lock' or 'hinged': what is needed stands open with a question mark."""
    out = [
        "# A shaft file. Replace every question mark; take the # away from what you know.",
        "# Sizes carry their unit: 47.5 mm, 1-13/16 in, 9 ft 2 1/2 in, 70 kg, 155 lb. Write (measured) behind what you",
        '# measured. Where you do not know: "unknown", or "unknown (28 mm to 34 mm)"; the answer says what hangs on it',
        "# All places along the shaft are measured from the handle end.",
        "",
        'title = "my oar"',
        'answer_in = "metric"              # or inches',
    ]
    for table, keys in TABLES.items():
        out += ["", f"[{table}]"]
        if table == "rig":
            keys = RIGS[rig]
        for name, key in keys.items():
            out.append(f'kind = "{rig}"'.ljust(34) + f"# {key.help}" if name == "kind" else _row(name, key))
    notes = {
        "section": "at least the handle end and the neck; size by fore_and_aft and up_and_down, or across, or girth",
        "wood": "from the handle end on; give 'to' for each but the last",
        "joint": "one for every joint that is there; take the # away from all of it",
        "flaw": "one for every crease, dent, row of tack holes, knot, and for what sits on the shaft; look for them",
    }
    for table, keys in LISTS.items():
        out += ["", f"# {notes[table]}"]
        if table == "joint":
            for kind, joint in JOINTS.items():
                rows = ["[[joint]]", f'kind = "{kind}"', *(_row(name, key) for name, key in joint.keys.items())]
                out += ["# " + r.removeprefix("# ") for r in rows]
            continue
        if table == "flaw":
            rows = ["[[flaw]]", *(_row(name, key) for name, key in keys.items())]
            out += ["# " + r.removeprefix("# ") for r in rows]
            continue
        times = 2 if table == "section" else 1
        for _ in range(times):
            rows = [f"[[{table}]]", *(_row(name, key) for name, key in keys.items())]
            if table == "section":
                rows = [
                    r.removeprefix("# ").replace(f'"{keys["across"].example}"', f'"{BLANK}"')
                    if r.startswith("# across")
                    else r
                    for r in rows
                ]
            out += rows
    return "\n".join(out) + "\n"
