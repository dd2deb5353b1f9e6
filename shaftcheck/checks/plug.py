"""Beside a solid plug in a hollow half: there the shaft goes over from stiff to slack, and breaks there first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.compare import Use
from shaftcheck.checks.net import net_names, net_uses
from shaftcheck.model import Array, Hinged, Shaft

__all__ = ["PLUG_ENDS", "declared", "plugs"]

PLUG_ENDS: dict[str, float] = {"square": 1.5, "tapered": 1.25}
"""what a plug's end raises the wood's bending stress by, as the mouth of a sleeve does (judgement)"""


def _ends(shaft: Shaft) -> tuple[tuple[str, Array, float], ...]:
    """Return name, end and the side away from the cut, of each half that has a plug."""
    rig = shaft.rig
    if not isinstance(rig, Hinged):
        return ()
    both = (("inner", rig.inner_plug, -1e-9), ("outer", rig.outer_plug, 1e-9))
    return tuple(row for row in both if np.any(~np.isnan(row[1])))


def _names(which: str) -> tuple[str, ...]:
    return net_names(f"{which} cradle, beside the plug", pressed=which == "outer")


def declared(shaft: Shaft) -> tuple[str, ...]:
    """Return the comparisons beside a shaft's plugs, by name; none where there is no plug."""
    return tuple(name for which, _, _ in _ends(shaft) for name in _names(which))


def plugs(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Yield bending of the hollow shaft just beyond each plug, its limit over what the plug's end raises."""
    rig = beam.shaft.rig
    if not isinstance(rig, Hinged):
        return
    for which, end, beyond in _ends(beam.shaft):
        there = ~np.isnan(end)[..., None, None]
        x = np.where(there, end[..., None, None] + beyond, rig.hand[..., None, None])
        left = np.where(there, 1.0 / rig.plug_raiser[..., None, None], 1.0)
        for u in net_uses(
            beam,
            beam.at(x),
            f"{which} cradle, beside the plug",
            stroke=left,
            flat=left,
            area=np.ones_like(left),
            source="stress of the hollow shaft times what the plug's end raises: 1.5 square, 1.25 tapered (judgement)",
            unknown="plug_ends",
            pressed=which == "outer",
        ):
            yield replace(u, use=np.where(there, u.use, 0.0), demand=np.where(there, u.demand, 0.0))
