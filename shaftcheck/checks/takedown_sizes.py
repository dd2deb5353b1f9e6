"""The sizes of a takedown joint of which can be asked how much it needs: engaged lengths, the tube's wall, the pins."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from shaftcheck.checks.joint import SIXTEENTH, JointSize
from shaftcheck.checks.net import net_names
from shaftcheck.checks.takedown_build import MOST_PIN, Takedown, least_size, turned_from
from shaftcheck.model import Array, Bools, Joint, Shaft

__all__ = ["sizes"]

OF_A_HALF = ("bearing", "bearing (loose)", "inner shear (stiff)", "inner shear (springy)", *net_names("wood inside"))
BESIDE = ("beside the mouth", "life beside the mouth", "pressed beside the mouth")


def _engaged(shaft: Shaft, j: Takedown, inner: Array, outer: Array) -> tuple[Takedown, Bools]:
    """Return the joint of other engaged lengths, and whether it finds room and wood on the shaft."""
    start, end = j.at - j.gap / 2.0 - inner, j.at + j.gap / 2.0 + outer
    fits = (start > shaft.rig.hand) & (end < shaft.blade.neck)
    least = least_size(shaft.stations, np.where(fits, start, j.start), np.where(fits, end, j.end))
    size = np.where(np.isnan(j.told_size), turned_from(least), j.told_size)
    fits = fits & (size <= least * (1.0 + 1e-9)) & ~(j.pin > MOST_PIN * size) & ~(j.pin_deep > size)
    return replace(j, inner=inner, outer=outer, start=start, end=end, size=size), fits


def sizes(j: Takedown) -> Iterator[JointSize]:
    """Yield each size with the checks that hang on it."""

    def both(shaft: Shaft, j: Takedown, v: Array) -> tuple[Joint, Bools]:
        return _engaged(shaft, j, v, v)

    def inner(shaft: Shaft, j: Takedown, v: Array) -> tuple[Joint, Bools]:
        return _engaged(shaft, j, v, j.outer + 0.0 * v)

    def outer(shaft: Shaft, j: Takedown, v: Array) -> tuple[Joint, Bools]:
        return _engaged(shaft, j, j.inner + 0.0 * v, v)

    def wall(shaft: Shaft, j: Takedown, v: Array) -> tuple[Joint, Bools]:
        return replace(j, wall=v), np.ones(v.shape, dtype=bool)

    def pin(shaft: Shaft, j: Takedown, v: Array) -> tuple[Joint, Bools]:
        return replace(j, pin=v), v <= MOST_PIN * j.size

    ways = {
        "": (("overlap", ("inner", "outer"), both),),
        "inner": (("overlap", ("outer",), outer), ("fixed_length", ("inner",), inner)),
        "outer": (("overlap", ("inner",), inner), ("fixed_length", ("outer",), outer)),
    }[j.one_half]
    for key, halves, change in ways:
        yield JointSize(
            key=key,
            told=float(j.inner if halves[0] == "inner" else j.outer),
            low=0.02,
            high=1.0,
            steps=(0.001, SIXTEENTH),
            checks=(
                *(f"takedown, {half} half, {what}" for half in halves for what in (*OF_A_HALF, *BESIDE)),
                *(
                    f"takedown, {what}"
                    for what in (
                        "tube shear",
                        "tube mouth",
                        "swollen wood",
                        "shear at the pin",
                        "pins from the end",
                        "solid inside",
                        "clear of the lock",
                        "clear of other joints",
                    )
                ),
            ),
            changed=change,
        )
    yield JointSize(
        key="wall",
        told=float(j.wall),
        low=0.0005,
        high=0.010,
        steps=(0.0001, 0.0254 / 200.0),
        checks=tuple(
            f"takedown, {what}"
            for what in (
                "tube bending",
                "tube shear",
                "tube in long use",
                "tube mouth",
                "swollen wood",
                "tube buckling",
                "pin on the tube",
                "tube at the pin",
            )
        ),
        changed=wall,
    )
    if not np.isnan(j.pin):
        yield JointSize(
            key="pin_diameter",
            told=float(j.pin),
            low=0.002,
            high=0.03,
            steps=(0.0005, SIXTEENTH / 2.0),
            checks=tuple(
                f"takedown, {what}"
                for what in (
                    "pin shear",
                    "pin bending",
                    "pin on the wood",
                    *net_names("wood at the pin"),
                    "shear at the pin",
                )
            ),
            changed=pin,
        )
