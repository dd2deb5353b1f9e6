"""The tables of a shaft file with a joint, a cut or sections as a study found them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from shaftcheck.border import write
from shaftcheck.border.shown import System
from shaftcheck.checks import JOINTS
from shaftcheck.model import Array, Hinged, Shaft
from shaftcheck.studies.placing import written_ratio

__all__ = ["cut_doc", "joint_doc", "plain"]


def plain(doc: Mapping[str, Any]) -> dict[str, Any]:
    """Return the tables without what was measured on the oar as it was."""
    return {k: v for k, v in doc.items() if k not in ("change", "measured")}


def _woods(doc: Mapping[str, Any], shaft: Shaft, system: System) -> list[dict[str, Any]]:
    """Return the woods with their ends as placed."""
    out = [{k: v for k, v in wood.items() if k not in ("from", "to")} for wood in doc["wood"]]
    for wood, piece in zip(out[:-1], shaft.pieces, strict=False):
        wood["to"] = write.size(_only(piece.end), system)
    return out


def _only(value: Array) -> float:
    return float(value.ravel()[0])


def joint_doc(doc: Mapping[str, Any], shaft: Shaft, index: int, length: float, system: System) -> dict[str, Any]:
    """Return the tables with a joint as it is in a placed shaft.

    Parameters
    ----------
    shaft : as placed, arrays of one element
    length : of its overlap or scarf; nan for as it is [m]
    """
    joint = shaft.joints[index]
    placing = JOINTS[joint.kind].placing
    assert placing is not None
    new, gone = placing.keys(joint, not math.isnan(length))
    table = {k: v for k, v in doc["joint"][index].items() if k not in gone}
    table |= {k: write.size(v, system) if isinstance(v, float) else v for k, v in new.items()}
    joints = [*doc["joint"][:index], table, *doc["joint"][index + 1 :]]
    return {**plain(doc), "wood": _woods(doc, shaft, system), "joint": joints}


def cut_doc(doc: Mapping[str, Any], shaft: Shaft, length: float, system: System) -> dict[str, Any]:
    """Return the tables with the rig as it is in a placed shaft.

    Parameters
    ----------
    length : of both cradles; nan for as they are [m]
    """
    rig = shaft.rig
    assert isinstance(rig, Hinged)
    sizes = {"inner_ends": rig.inner_to, "inner_pin": rig.inner_pin, "outer_pin": rig.outer_pin}
    if not math.isnan(length):
        sizes |= {
            "inner_cradle": rig.inner_to - rig.inner_from,
            "outer_cradle": rig.outer_to - rig.outer_from,
            "pin_spacing": rig.spacing,
        }
    new: dict[str, Any] = {k: write.size(_only(v), system) for k, v in sizes.items()}
    old = dict(doc["rig"])
    if "link_ratio" not in old:  # the link keeps its ratio, and hand and blade move otherwise
        old = {k: v for k, v in old.items() if k not in ("hand_moves", "blade_moves")}
        new["link_ratio"] = float(written_ratio(rig.ratio))
    return {**plain(doc), "wood": _woods(doc, shaft, system), "rig": {**old, **new}}
