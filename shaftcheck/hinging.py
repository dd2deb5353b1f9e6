"""What an answer says of a hinged rig beside its checks: what goes to the mounting. In words, nothing compared."""

from __future__ import annotations

import math
from dataclasses import replace

from shaftcheck.beam import Beam
from shaftcheck.border.shown import System, show
from shaftcheck.frozen import frozen
from shaftcheck.loads.mounting import mounting
from shaftcheck.model import Hinged

__all__ = ["MOUNTING_SOURCE", "Mounted", "PinForces", "mounted"]

MOUNTING_SOURCE = "moments and forces of each half about its own pin, no friction in the link (derived)"


@frozen(eq=True)
class PinForces:
    """What one load case does to link, pins and mounting, in SI; nan where the link's arm is not known."""

    case: str
    title: str
    when: str
    """the case within a sentence"""
    driver: float
    """the case's own quantity; of a stroke, the pull at the hand"""
    driver_unit: str
    acts: str
    """where the load acts, as it stands behind its size"""
    link: float
    inner_pin: float
    outer_pin: float
    couple: float
    """about the inner pin, in plan [N m]"""
    times: float
    """the greater pin's force over the pull at the hand [-]; nan where the case is no pull, or it is not known"""


@frozen(eq=True)
class Mounted:
    """What goes to the mounting under every load case, the greatest couple first."""

    forces: tuple[PinForces, ...]
    tilt_inner: float
    """greatest couple that tips the inner pin, up and down [N m]"""
    tilt_outer: float
    along: float
    """greatest force along the outer half [N]"""
    words: tuple[str, ...]


def mounted(beam: Beam, system: System) -> Mounted | None:
    """Return what goes to the mounting of a single hinged rig; None for an oar in a lock."""
    rig = beam.shaft.rig
    if not isinstance(rig, Hinged):
        return None
    m = mounting(beam)
    rows = []
    for i, case in enumerate(beam.cases):
        if float(m.couple[i]) < 1e-9:
            continue  # nothing along the boat
        pull = float(case.pull)
        pins = float(m.inner_pin[i]), float(m.outer_pin[i])
        rows.append(
            PinForces(
                case=case.key,
                title=case.title,
                when=case.when or f"under {case.title}",
                driver=float(case.driver),
                driver_unit=case.driver_unit,
                acts=case.driver_acts,
                link=float(m.link[i]),
                inner_pin=pins[0],
                outer_pin=pins[1],
                couple=float(m.couple[i]),
                times=max(pins) / pull if pull > 0.0 else math.nan,
            )
        )
    rows.sort(key=lambda r: -r.couple)
    out = Mounted(
        forces=tuple(rows),
        tilt_inner=float(m.tilt_inner.max()),
        tilt_outer=float(m.tilt_outer.max()),
        along=float(m.along.max()),
        words=(),
    )
    return replace(out, words=_words(out, rig, system))


def _words(m: Mounted, rig: Hinged, system: System) -> tuple[str, ...]:
    def force(value: float) -> str:
        return show(value, "force", system, side="up")

    def couple(value: float) -> str:
        return show(value, "moment", system, side="up")

    top = m.forces[0]
    couple_words = f"{top.when} the mounting must bear a couple of {couple(top.couple)} about the inner pin"
    arm = float(rig.inner_pin - rig.hand)
    if math.isnan(top.link):
        forces = (
            "The forces of the link and of both pins are not known: link_arm is not told. They are many times the "
            f"handle force: the link's is the pull times {show(arm, 'length', system)} over its arm, and each pin "
            "takes that and its half's own pull or push. No verdict here hangs on them: the mounting is not part of "
            "your question"
        )
    else:
        most = max(m.forces, key=lambda r: max(r.inner_pin, r.outer_pin))
        pulls = max((r for r in m.forces if not math.isnan(r.times)), key=lambda r: r.driver)
        forces = (
            f"{most.when[0].upper()}{most.when[1:]} the link carries {force(most.link)}, the inner pin "
            f"{force(most.inner_pin)} and the "
            f"outer pin {force(most.outer_pin)}, the pins opposite ways. These are many times the handle force: "
            f"{pulls.times:.1f} times a pull of {show(pulls.driver, 'force', system)}"
        )
        meshes = float(rig.spacing * rig.ratio / (1.0 + rig.ratio))
        if abs(meshes - float(rig.link_arm)) > 0.05 * meshes:
            forces += (
                f". Two gears on pins so far apart, of this ratio, would mesh {show(meshes, 'length', system)} from "
                f"the inner pin; of a rod, the arm is as told, {show(float(rig.link_arm), 'length', system)}"
            )
    return (
        f"For whoever bolts it down: {couple_words}. In a one-piece oar the moments of both sides cancel through the "
        f"shaft; here both go to the mounting and add. {forces}.",
        f"Besides, up and down, the inner half tips its pin with {couple(m.tilt_inner)} and the outer half with "
        f"{couple(m.tilt_outer)}, and the outer cradle holds {force(m.along)} along the shaft; two gears push their "
        "pins apart with 0.36 of the link's force (pressure angle 20 degrees). Whether link, pins, cradles and "
        f"mounting bear it is for whoever makes them ({MOUNTING_SOURCE}).",
    )
