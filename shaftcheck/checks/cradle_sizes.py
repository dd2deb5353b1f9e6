"""The sizes of a hinged rig's cradles of which can be asked how much they need: clamped lengths, liner, squeeze."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from shaftcheck.checks import bolt, cradle, grip, mouth, plug
from shaftcheck.checks.joint import SIXTEENTH, JointSize
from shaftcheck.checks.placed import reach
from shaftcheck.model import Array, Bools, Hinged, Shaft

__all__ = ["sizes"]

POUND = 4.4482216152605
"""a pound-force [N] (by definition)"""
_PRESSED = ("bearing (stiff)", "bearing (springy)", "splitting", "ring bending")


def _lengths(shaft: Shaft, rig: Hinged, which: str, length: Array) -> tuple[Hinged, Bools]:
    """Return the rig with one cradle of other lengths, and where it reaches pin and bolt and is clear of the rest."""
    half = np.nan_to_num(rig.bolt, nan=0.0) / 2.0
    if which == "inner":
        start = rig.saw - length
        near = [j.end for j in shaft.joints if (j.end <= rig.inner_from).all()]
        bars = [shaft.rig.hand, *(end + reach(shaft, start) for end in near)]
        least = np.fmin(rig.inner_pin, rig.inner_bolt - half * (1.0 + 1e-9))
        clear = np.logical_and.reduce([start > bar for bar in bars])
        return replace(rig, inner_from=start), np.asarray(clear & (start <= least + 1e-9))
    end = rig.restart + length
    beyond = [j.start for j in shaft.joints if (j.start >= rig.outer_to).all()]
    bars = [shaft.blade.neck, *(start - reach(shaft, end) for start in beyond)]
    least = np.fmax(rig.outer_pin, rig.outer_bolt + half * (1.0 + 1e-9))
    clear = np.logical_and.reduce([end < bar for bar in bars])
    return replace(rig, outer_to=end), np.asarray(clear & (end >= least - 1e-9))


def sizes(shaft: Shaft) -> Iterator[JointSize]:
    """Yield each size of a hinged rig's cradles with the checks that hang on it."""
    rig = shaft.rig
    assert isinstance(rig, Hinged)
    declared = (*cradle.DECLARES, *grip.DECLARES, *mouth.DECLARES, *bolt.declared(shaft), *plug.declared(shaft))

    def inner(shaft: Shaft, rig: Hinged, v: Array) -> tuple[Hinged, Bools]:
        return _lengths(shaft, rig, "inner", v)

    def outer(shaft: Shaft, rig: Hinged, v: Array) -> tuple[Hinged, Bools]:
        return _lengths(shaft, rig, "outer", v)

    def liner(shaft: Shaft, rig: Hinged, v: Array) -> tuple[Hinged, Bools]:
        return replace(rig, liner=v), np.ones(v.shape, dtype=bool)

    def squeeze(shaft: Shaft, rig: Hinged, v: Array) -> tuple[Hinged, Bools]:
        return replace(rig, clamp=v), np.ones(v.shape, dtype=bool)

    for which, told, change in (
        ("inner", rig.inner_to - rig.inner_from, inner),
        ("outer", rig.outer_to - rig.outer_from, outer),
    ):
        yield JointSize(
            key=f"{which}_cradle",
            told=float(told),
            low=0.02,
            high=1.0,
            steps=(0.001, SIXTEENTH),
            checks=tuple(name for name in declared if name.startswith(f"{which} cradle")),
            changed=change,
        )
    if float(rig.liner) > 0.0:
        yield JointSize(
            key="liner_thickness",
            told=float(rig.liner),
            low=0.0005,
            high=0.02,
            steps=(0.0005, SIXTEENTH / 2.0),
            checks=tuple(f"{which} cradle, {what}" for which in ("inner", "outer") for what in _PRESSED),
            changed=liner,
        )
    yield JointSize(
        key="clamp_force",
        told=float(rig.clamp),
        low=50.0,
        high=20000.0,
        steps=(10.0, 2.0 * POUND),
        checks=tuple(
            f"{which} cradle, {what}" for which in ("inner", "outer") for what in ("grip", "standing clamp", *_PRESSED)
        ),
        changed=squeeze,
        dimension="force",
    )
