"""Beside a cradle's mouth: there the shaft goes over from clamped to free, and breaks there first."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.compare import Use
from shaftcheck.checks.net import net_names, net_uses
from shaftcheck.formula import Sym
from shaftcheck.model import Hinged
from shaftcheck.trace import constant

__all__ = ["DECLARES", "mouths"]

_LEFT = "a cradle's mouth raises bending as the mouth of a sleeve does (judgement)"
BARE = constant(1.0 / 1.5, Sym("r_m", "", "bending strength left at a mouth of bare metal, 1 over 1.5"), _LEFT)
LINED = constant(0.8, Sym("r_m", "", "bending strength left at a lined mouth, 1 over 1.25"), _LEFT)
_SOURCE = "flexure formula; stress times what the mouth raises it by: 1.5 bare metal, 1.25 over a liner (judgement)"


def _names(which: str) -> tuple[str, ...]:
    # a push along the shaft ends in the outer cradle
    return net_names(f"{which} cradle, beside the mouth", pressed=which == "outer")


DECLARES = (*_names("inner"), *_names("outer"))


def mouths(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Yield bending of the shaft just outside each cradle, its limit over what the mouth raises."""
    rig = beam.shaft.rig
    if not isinstance(rig, Hinged):
        return
    left = np.where(rig.liner > 0.0, LINED, BARE)[..., None, None]
    for which, x in (("inner", rig.inner_from - 1e-9), ("outer", rig.outer_to + 1e-9)):
        yield from net_uses(
            beam,
            beam.at(x[..., None, None]),
            f"{which} cradle, beside the mouth",
            stroke=left,
            flat=left,
            area=np.ones_like(left),
            source=_SOURCE,
            pressed=which == "outer",
        )
