"""Beside a cradle's mouth: there the shaft goes over from clamped to free, and breaks there first."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shaftcheck.beam import Beam, Cut
from shaftcheck.checks.compare import Use
from shaftcheck.checks.net import net_names, net_uses
from shaftcheck.checks.placed import reach
from shaftcheck.formula import Sym
from shaftcheck.model import Array, Hinged
from shaftcheck.trace import constant

__all__ = ["DECLARES", "mouths", "raised"]

_LEFT = "a cradle's mouth raises bending as the mouth of a sleeve does (judgement)"
BARE = constant(1.0 / 1.5, Sym("r_m", "", "bending strength left at a mouth of bare metal, 1 over 1.5"), _LEFT)
LINED = constant(0.8, Sym("r_m", "", "bending strength left at a lined mouth, 1 over 1.25"), _LEFT)
_SOURCE = (
    "flexure formula; stress times what the mouth raises it by, as far as the shaft's greater size beyond it: 1.5 bare "
    "metal, 1.25 over a liner (judgement)"
)
_BEYOND = np.linspace(0.0, 1.0, 9)
"""places beyond a mouth, as parts of the shaft's greater size: so far its unrest reaches (Saint-Venant; judgement)"""


def _names(which: str) -> tuple[str, ...]:
    # a push along the shaft ends in the outer cradle
    return net_names(f"{which} cradle, beside the mouth", pressed=which == "outer")


DECLARES = (*_names("inner"), *_names("outer"))


def raised(beam: Beam, x: Array) -> Array:
    """Return what the cradles' mouths leave of the bending strength at x, (..., 1, points): 1 away from them [-].

    As far as the shaft's greater size to both sides of each.
    """
    rig = beam.shaft.rig
    assert isinstance(rig, Hinged)
    left = np.where(rig.liner > 0.0, LINED, BARE)[..., None, None]
    close = np.zeros(np.shape(x), dtype=bool)
    for at in (rig.inner_from, rig.outer_to):
        close = close | (np.abs(x - at[..., None, None]) <= reach(beam.shaft, at)[..., None, None])
    return np.where(close, left, 1.0)


def mouths(beam: Beam, cut: Cut) -> Iterator[Use]:
    """Yield bending of the shaft beside each cradle, its limit over what the mouth raises."""
    rig = beam.shaft.rig
    if not isinstance(rig, Hinged):
        return
    left = np.where(rig.liner > 0.0, LINED, BARE)[..., None, None]
    for which, x, way in (("inner", rig.inner_from, -1.0), ("outer", rig.outer_to, 1.0)):
        yield from net_uses(
            beam,
            beam.at(x[..., None, None] + way * (1e-9 + reach(beam.shaft, x)[..., None, None] * _BEYOND)),
            f"{which} cradle, beside the mouth",
            stroke=left,
            flat=left,
            area=np.ones_like(left),
            source=_SOURCE,
            pressed=which == "outer",
        )
