"""What rowers pull with: the classes, per oar, one hand."""

from __future__ import annotations

from shaftcheck.model import Rower, number

__all__ = ["CLASSES", "rower"]

CLASSES: dict[str, dict[str, float]] = {
    "light": {"steady": 120.0, "hard": 200.0, "start": 300.0, "once": 400.0, "push": 300.0, "by hand": 250.0},
    "general": {"steady": 150.0, "hard": 300.0, "start": 500.0, "once": 700.0, "push": 500.0, "by hand": 400.0},
    "trained": {"steady": 200.0, "hard": 350.0, "start": 500.0, "once": 750.0, "push": 750.0, "by hand": 400.0},
}
"""Handle forces of one hand [N]: judgement on Steinacker, Int J Sports Med 14 (1993): 500 to 700 N in a race and 1000
to 1500 N at a start, for both oars; Hartmann et al., in the same number: 1350 and 1020 N greatest; power
arithmetic for the steady stroke. Push: MIL-STD-1472F (from memory). By hand: Das & Wang (2004), 222 to 400 N."""
BRACED = 700.0
"""levering with the body braced [N] (judgement)"""
PUSH_OVER_PULL = 251.0 / 400.0
"""greatest push over greatest pull, Das & Wang, Int J Occup Safety Ergonomics 10 (2004) 43-58"""
BOTH_HANDS = 2.0
"""both hands on one oar over one: the published both-hands figures are at or below twice (judgement)"""


def rower(strength: str, hands: str, levering: str, told: dict[str, float]) -> Rower:
    """Return the forces of a class of rower, with told pulls in their place.

    Parameters
    ----------
    strength : light, general or trained
    hands : one or both
    levering : never, by hand or braced
    told : pulls told for steady, hard, start, once [N], both hands in them where both are on the oar
    """
    row = CLASSES[strength]
    times = BOTH_HANDS if hands == "both" else 1.0
    pulls = {key: told.get(key, row[key] * times) for key in ("steady", "hard", "start", "once")}
    lever = {"never": 0.0, "by hand": row["by hand"], "braced": BRACED}[levering]
    return Rower(
        **{key: number(value) for key, value in pulls.items()},
        back=number(max(pulls["once"], row["once"] * times) * PUSH_OVER_PULL),
        push=number(row["push"]),
        lever=number(lever),
    )
