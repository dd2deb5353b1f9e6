"""Whoever does as is printed: the words of a line of advice, written into the shaft file that it was told of."""

from __future__ import annotations

import re
from typing import Any

from test_shaftfile import edit

from shaftcheck.border.sizes import read

Doc = dict[str, Any]
SIZE = r"\d[\d ./]*(?: ft(?: \d[\d ./]*in)?| in| mm| m| N| kN| lb)"
"""a size as it is printed"""
BOLTS = ("bolt_diameter", "bolts_run", "inner_bolt_from_end", "outer_bolt_from_end")


def followed(doc: Doc, advice: str) -> Doc:
    """Return a file changed as a line of advice says, each size as it is printed and nothing else.

    The rig, sections, woods and joints are those of the file, or of what it changes.
    """
    table = "change.rig" if "rig" in doc.get("change", {}) else "rig"
    told: dict[str, str | float | None] = {}
    for which in ("inner", "outer"):
        for size in re.findall(rf"({SIZE}) of the {which}", advice):
            told[f"{table}.{which}_cradle"] = size
        for size in re.findall(rf"({SIZE}) (?:long )?in the {which}", advice):
            told[f"{table}.{which}_plug"] = size
    for size, of in re.findall(rf"a liner of ({SIZE}) of (\w+)", advice):
        told |= {f"{table}.liner": of, f"{table}.liner_thickness": size}
    for size in re.findall(rf"squeeze with ({SIZE})", advice):
        told[f"{table}.clamp_force"] = size
    for size in re.findall(rf"bolts of ({SIZE})", advice):
        told[f"{table}.bolt_diameter"] = size
    for key, choice in re.findall(r'(\w+) = "([^"]+)"', advice):
        if key == "runout":
            told |= {f"wood.{i}.runout": choice for i in range(len(doc["wood"]))}
        elif key in ("outer_tip_on", "slope", "mouth"):
            told[f"joint.0.{key}"] = choice
        else:
            told[f"{table}.{key}"] = choice
    if 'bolts = "beside"' in advice:
        told |= {f"{table}.{key}": None for key in BOLTS}
    for i, joint in enumerate(doc.get("joint", [])):
        if joint["kind"] == "takedown":
            sizes = re.findall(rf"(overlap|fixed length|wall|pin diameter) ({SIZE})", advice)
            told |= {f"joint.{i}.{key.replace(' ', '_')}": size for key, size in sizes}
            told |= {f"joint.{i}.pins": float(n) for n in re.findall(r"\(pins = (\d)\)", advice)}
        for size, way in re.findall(rf"the {joint['kind']}[a-z ]* moved ({SIZE}) (\w+)", advice):
            key = "at" if joint["kind"] == "takedown" else "middle"
            told[f"joint.{i}.{key}"] = _moved(joint[key], size, way)
    doc = edit(doc, *told.items())
    for size, way in re.findall(rf"the cut, with .*?({SIZE}) further (\w+)", advice):
        rig = edit(doc)["change"]["rig"] if table == "change.rig" else doc["rig"]
        keys = ("inner_ends", "inner_pin", "outer_pin")
        doc = edit(doc, *((f"{table}.{key}", _moved(rig[key], size, way)) for key in keys))
        for ratio in re.findall(r"link_ratio = ([\d.]+)", advice):
            gone = ((f"{table}.{key}", None) for key in ("hand_moves", "blade_moves"))
            doc = edit(doc, (f"{table}.link_ratio", float(ratio)), *gone)
    sections = [dict(s) for s in doc["section"]]
    for deep, wide, at in re.findall(rf"({SIZE}) by ({SIZE}) at ({SIZE})", advice):
        (mine,) = (s for s in sections if abs(_metres(s["at"]) - _metres(at)) < 0.001)
        mine.pop("across", None)
        mine |= {"fore_and_aft": deep, "up_and_down": wide}
    return {**doc, "section": sections}


def _metres(size: str) -> float:
    return read(size.partition("(")[0].strip(), "m")


def _moved(place: str, by: str, way: str) -> str:
    return f"{(_metres(place) + _metres(by) * (1.0 if way == 'outboard' else -1.0)) * 1000.0:.9f} mm"
