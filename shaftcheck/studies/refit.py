"""Joints in a stick of other sections: each as it would be made there."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from shaftcheck.checks import JOINTS
from shaftcheck.model import Array, Bools, Shaft

__all__ = ["refitted"]


def refitted(shaft: Shaft, shape: Array) -> tuple[Shaft, Bools]:
    """Return a shaft with its joints made anew in its sections, where they are, and where one does not fit.

    Wood inside a takedown's tube whose size is not told is turned to the sections there; a scarf keeps its slope, so
    that its tips lie where the sections put them.

    Parameters
    ----------
    shape : zeros of the sections' batch shape
    """
    joints, barred = [], np.zeros(shape.shape, dtype=bool)
    for joint in shaft.joints:
        placing = JOINTS[joint.kind].placing
        if placing is None:
            joints.append(joint)
            continue
        moved = placing.moved(shaft, joint, placing.middle(joint) + shape, shape + np.nan)
        joints.append(moved.joint)
        for _, where in moved.barred:
            barred |= where
    return replace(shaft, joints=tuple(joints)), barred
