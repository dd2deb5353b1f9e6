"""The keys of a shaft file, by table. A joint's keys stand with the joint, in `shaftcheck.checks`."""

from __future__ import annotations

from shaftcheck.checks import FLAWS, JOINTS
from shaftcheck.key import Key

__all__ = ["JOINT_KIND", "LISTS", "RIGS", "TABLES", "TEXTS"]

OAR: dict[str, Key] = {
    "length": Key(kind="length", help="from handle end to blade tip", example="2.42 m", low=0.5, high=8.0),
    "inside": Key(
        kind="choice",
        noun="inside of the shaft",
        help="what the shaft is inside; drill or weigh if in doubt",
        example="solid",
        choices=("solid", "hollow"),
        ways=("solid", "hollow"),
    ),
    "solid_ends": Key(
        kind="choice",
        noun="end of the solid wood",
        help="how solid wood that the sections tell ends inside a hollow shaft: tapered off, or square",
        example="tapered",
        optional=True,
        why="solid wood ends square inside the hollow shaft",
        choices=("tapered", "square"),
        ways=("tapered", "square"),
    ),
    "material": Key(
        kind="choice",
        help="timber, in one stick or glued up, or a tube",
        example="one stick",
        assume="one stick",
        why="the shaft is of timber in one stick, or glued up along it with a structural glue",
        choices=("one stick", "glued up", "laminate tube", "metal tube"),
        ways=("one stick", "glued up", "laminate tube", "metal tube"),
    ),
    "blade_length": Key(
        kind="length", help="from the neck, where the blade begins, to its tip", example="560 mm", low=0.1, high=1.5
    ),
    "blade_width": Key(kind="length", help="at the widest", example="150 mm", low=0.03, high=0.5),
    "blade_area": Key(
        kind="area",
        help="one face of the blade",
        example="0.068 m2",
        optional=True,
        why="blade area: the whole rectangle of its length and width, {taken}",
        low=0.005,
        high=0.4,
        span=("0.04 m2", "0.12 m2"),
    ),
    "blade_weight": Key(
        kind="mass",
        help="all that is beyond the neck",
        example="0.45 kg",
        optional=True,
        why="blade weight: its area {thick} thick in the outer wood, {taken} (judgement)",
        low=0.02,
        high=5.0,
        span=("0.2 kg", "1.2 kg"),
    ),
    "water_off_axis": Key(
        kind="length",
        noun="distance of the water's force from the axis",
        help="how far the water's force may stand off the shaft's axis, as with a blade half buried",
        example="25 mm",
        optional=True,
        why="water's force off the axis by a sixth of the blade's width, {taken} (judgement)",
        high=0.3,
        span=("0 mm", "60 mm"),
    ),
}

RIG: dict[str, Key] = {
    "kind": Key(
        kind="choice",
        help="one piece in a lock, or two halves on pins of their own",
        example="lock",
        choices=("lock", "hinged"),
    ),
    "hand": Key(
        kind="length",
        noun="place of the hand",
        help="from handle end to the middle of the grip; with both hands on it, to between them",
        example="60 mm",
        high=1.0,
        span=("40 mm", "150 mm"),
    ),
}

LOCK: dict[str, Key] = {
    "lock": Key(
        kind="length",
        noun="place of the lock",
        help="from handle end to the middle of the lock",
        example="680 mm",
        low=0.2,
        high=4.0,
    ),
    "lock_touches": Key(
        kind="length",
        noun="length that the lock presses",
        help="length of shaft that the lock presses",
        example="40 mm",
        assume="25 mm",
        why="the lock presses {taken} of the shaft",
        low=0.005,
        high=0.3,
        span=("10 mm", "60 mm"),
    ),
    "lock_spreads": Key(
        kind="length",
        noun="length over which the lock bends",
        help="length over which the lock spreads its force in bending; a leather is not a lock",
        example="0 mm",
        assume="0 mm",
        why="the lock bends the shaft at a point",
        high=0.12,
        span=("0 mm", "60 mm"),
    ),
    "lock_stays_wet": Key(
        kind="choice",
        noun="wetness of the seat in the lock",
        help="whether leather or wood in the lock stays wet",
        example="no",
        assume="yes",
        why="the seat in the lock stays wet",
        choices=("yes", "no"),
        ways=("yes", "no"),
    ),
}

HINGED: dict[str, Key] = {
    "inner_ends": Key(
        kind="length",
        noun="end of the inner half",
        help="from handle end to where the inner half ends (the saw)",
        example="760 mm",
        low=0.2,
        high=4.0,
    ),
    "kerf": Key(
        kind="length",
        help="what the saw takes; 0 for halves made separately",
        example="3 mm",
        assume="3 mm",
        why="the saw takes {taken}",
        high=1.0,
    ),
    "inner_pin": Key(
        kind="length",
        noun="place of the inner pin",
        help="from handle end to the inner pin",
        example="700 mm",
        low=0.1,
        high=4.5,
    ),
    "inner_cradle": Key(
        kind="length", help="length of the inner half that its cradle clamps", example="140 mm", low=0.02, high=1.0
    ),
    "outer_pin": Key(
        kind="length",
        noun="place of the outer pin",
        help="from handle end to the outer pin, along the stick as it was",
        example="820 mm",
        low=0.1,
    ),
    "outer_cradle": Key(
        kind="length", help="length of the outer half that its cradle clamps", example="140 mm", low=0.02, high=1.0
    ),
    "inner_plug": Key(
        kind="length",
        help="length of a solid plug glued into the end of a hollow inner half",
        example="190 mm",
        optional=True,
        low=0.01,
        high=2.0,
    ),
    "outer_plug": Key(
        kind="length",
        help="length of a solid plug glued into the end of a hollow outer half",
        example="190 mm",
        optional=True,
        low=0.01,
        high=2.0,
    ),
    "plug_ends": Key(
        kind="choice",
        help="how the plugs end inside the shaft: tapered off, or square",
        example="tapered",
        optional=True,
        choices=("tapered", "square"),
        ways=("tapered", "square"),
    ),
    "cradle_seat": Key(
        kind="choice",
        help="whether each seat wraps a quarter of the shaft or more, or is flat or narrow",
        example="wraps",
        choices=("wraps", "narrow"),
        ways=("wraps", "narrow"),
    ),
    "cradle_stays_wet": Key(
        kind="choice",
        noun="wetness of the wood in the cradles",
        help="whether wood in the cradles stays wet; sealed ends and a drained seat dry",
        example="no",
        assume="yes",
        why="wood in the cradles stays wet",
        choices=("yes", "no"),
        ways=("yes", "no"),
    ),
    "liner": Key(
        kind="choice",
        help="what lines the cradles; a bare metal edge dents the wood at the mouth",
        example="rubber",
        assume="none",
        why="the cradles are not lined",
        choices=("none", "rubber", "leather"),
        ways=("none", "rubber", "leather"),
    ),
    "liner_thickness": Key(
        kind="length",
        help="of the liner",
        example="3 mm",
        assume="3 mm",
        why="a liner, where there is one, is {taken} thick",
        low=0.0005,
        high=0.02,
        span=("1 mm", "6 mm"),
    ),
    "clamp_force": Key(
        kind="force",
        help="with which each cradle squeezes, all bolts together; too little slips, too much dents",
        example="2000 N",
        high=100000.0,
        span=("500 N", "6000 N"),
    ),
    "bolts": Key(
        kind="choice",
        noun="way of the bolts",
        help="whether the cradles' bolts pass beside the shaft, or one through each half",
        example="beside",
        choices=("beside", "through"),
        ways=("beside", "through"),
    ),
    "bolt_diameter": Key(
        kind="length",
        help="of a bolt through each half; its hole is taken 1/16 in wider",
        example="6 mm",
        optional=True,
        low=0.002,
        high=0.03,
    ),
    "bolts_run": Key(
        kind="choice",
        help="which way bolts through the shaft go, the blade upright",
        example="up and down",
        optional=True,
        choices=("fore and aft", "up and down"),
        ways=("fore and aft", "up and down"),
    ),
    "inner_bolt_from_end": Key(
        kind="length",
        help="from where the inner half ends to the middle of its bolt",
        example="50 mm",
        optional=True,
        low=0.005,
        high=1.0,
    ),
    "outer_bolt_from_end": Key(
        kind="length",
        help="from where the outer half begins to the middle of its bolt",
        example="50 mm",
        optional=True,
        low=0.005,
        high=1.0,
    ),
    "link_on": Key(
        kind="choice",
        noun="part that the link is fixed to",
        help="what the link or gear is fixed to: the cradles, or lugs on the shaft itself",
        example="cradle",
        choices=("cradle", "shaft"),
        ways=("cradle", "shaft"),
    ),
    "pin_spacing": Key(
        kind="length", noun="distance from pin to pin", help="from pin to pin", example="90 mm", low=0.02, high=1.0
    ),
    "link_arm": Key(
        kind="length",
        help="from the inner pin square to the line of the link's force; of gears, the inner one's pitch radius",
        example="45 mm",
        optional=True,
        why="link_arm not told: the forces of link and pins are not known; no verdict hangs on them",
        low=0.005,
        high=1.0,
        only_told=True,
    ),
    "link_ratio": Key(
        kind="ratio",
        help="swing of the blade half over swing of the hand half, instead of the two below",
        example="0.9",
        optional=True,
        low=0.2,
        high=5.0,
    ),
    "hand_moves": Key(
        kind="length",
        help="how far the hand moves while the blade moves ...",
        example="300 mm",
        optional=True,
        low=0.01,
    ),
    "blade_moves": Key(
        kind="length", help="... how far the blade's middle moves", example="520 mm", optional=True, low=0.01
    ),
}

ROWER: dict[str, Key] = {
    "strength": Key(
        kind="choice",
        noun="rower's strength",
        help="light: casual, feet not braced; general; trained",
        example="general",
        choices=("light", "general", "trained"),
        ways=("light", "general", "trained"),
    ),
    "hands": Key(
        kind="choice",
        noun="number of hands",
        help="on one oar",
        example="one",
        choices=("one", "both"),
        ways=("one", "both"),
    ),
    **{
        key: Key(kind="force", help=words, example=example, optional=True, low=1.0, high=5000.0)
        for key, words, example in (
            ("steady_pull", "measured instead of the class's", "150 N"),
            ("hard_pull", "measured instead of the class's", "300 N"),
            ("start_pull", "measured instead of the class's", "500 N"),
            ("greatest_pull", "measured instead of the class's", "700 N"),
        )
    },
}

DUTY: dict[str, Key] = {
    "boat_speed": Key(
        kind="speed",
        noun="speed of the boat",
        help="when a blade is caught",
        example="2 m/s",
        assume="2 m/s",
        why="the boat runs at {taken} when a blade is caught (common practice, no source)",
        high=6.0,
        span=("1 m/s", "3 m/s"),
    ),
    "boat_and_crew": Key(
        kind="mass",
        noun="weight of boat and crew",
        help="lowers the force of a caught blade where the boat is light",
        example="230 kg",
        optional=True,
        why="boat and crew: not told, so the water alone bounds a caught blade",
        low=20.0,
        high=20000.0,
    ),
    "handle_free": Key(
        kind="choice",
        noun="freedom of the handle to leave the hands",
        help="whether a caught handle can leave the hands, with no body in its way",
        example="no",
        assume="no",
        why="a caught handle can't leave the hands",
        choices=("yes", "no"),
        ways=("yes", "no"),
    ),
    "levering": Key(
        kind="choice",
        help="whether the oar is used to lever the boat off",
        example="by hand",
        assume="by hand",
        why="the oar is levered with by one hand",
        choices=("never", "by hand", "braced"),
        ways=("never", "by hand", "braced"),
    ),
    "strokes": Key(
        kind="count",
        noun="number of strokes",
        help="in the oar's life",
        example="3000000",
        assume="3000000",
        why="a life of 20 seasons of 100 h at 24 strokes a minute, taken as 3 million strokes",
        low=1000.0,
        high=3.0e7,
    ),
}

CARE: dict[str, Key] = {
    "kept": Key(
        kind="choice",
        noun="way it is kept",
        help="varnished and stored dry, oiled, or bare",
        example="varnished",
        assume="varnished",
        why="kept varnished and stored dry: 16 % moisture",
        choices=("varnished", "oiled", "bare"),
        ways=("varnished", "oiled", "bare"),
    ),
}

MEASURED: dict[str, Key] = {
    "weight": Key(kind="mass", help="the whole oar", example="1.9 kg", optional=True, low=0.2, high=30.0),
    "balance": Key(
        kind="length", help="from handle end to where it balances", example="985 mm", optional=True, low=0.1, high=8.0
    ),
    "sag": Key(kind="length", help="under the weight below", example="31 mm", optional=True, low=0.0005, high=1.0),
    "sag_weight": Key(kind="mass", help="hung on the shaft", example="10 kg", optional=True, low=0.1, high=100.0),
    "sag_at": Key(
        kind="length", help="from handle end to where it hung", example="2.1 m", optional=True, low=0.1, high=8.0
    ),
    "sag_held": Key(
        kind="choice",
        help="clamped at the lock, or held down at the hand and resting on the lock",
        example="clamped",
        optional=True,
        choices=("clamped", "resting"),
    ),
}

FACTORS: dict[str, Key] = {
    "own_divisor": Key(
        kind="ratio",
        help="divides every strength once more; below 1 is laxer than the method and stands in the verdict",
        example="1.2",
        optional=True,
        low=0.2,
        high=10.0,
    ),
}

LOCKER: dict[str, Key] = {
    **{
        key: Key(kind="length", help=words, example=example, optional=True, low=0.05, high=10.0, only_told=True)
        for key, words, example in (
            ("length", "inside, from end to end, of the locker in which the oar's pieces are stowed", "1.45 m"),
            ("width", "inside, across", "380 mm"),
            ("height", "inside, up and down", "300 mm"),
        )
    },
    "hatch": Key(
        kind="choice",
        help="where it opens: its whole top, or a hatch in its top, its long side or its end",
        example="top",
        optional=True,
        choices=("top open", "top", "side", "end"),
        only_told=True,
    ),
    "hatch_length": Key(
        kind="length",
        help="of the hatch's opening, along the locker's length; of one in the end, up and down",
        example="500 mm",
        optional=True,
        low=0.02,
        high=10.0,
        only_told=True,
    ),
    "hatch_width": Key(
        kind="length",
        help="of the hatch's opening, the other way",
        example="350 mm",
        optional=True,
        low=0.02,
        high=10.0,
        only_told=True,
    ),
    "hatch_from_end": Key(
        kind="length",
        help="from the locker's nearer end to the hatch's nearer edge",
        example="60 mm",
        optional=True,
        why="the locker's hatch is in the middle of its length, {taken} from its ends",
        high=10.0,
        only_told=True,
    ),
}

SECTION: dict[str, Key] = {
    "at": Key(kind="length", noun="place", help="from handle end", example="0 mm", high=8.0),
    "shape": Key(
        kind="choice",
        help="oval includes round",
        example="oval",
        choices=("oval", "superoval", "rectangle"),
        assume="oval",
        why="a section whose shape is not told is round or oval",
    ),
    "fore_and_aft": Key(
        kind="length",
        noun="fore-and-aft size",
        help="size with the blade upright",
        example="46 mm",
        optional=True,
        low=0.005,
        high=0.3,
    ),
    "up_and_down": Key(
        kind="length",
        noun="up-and-down size",
        help="size with the blade upright",
        example="42 mm",
        optional=True,
        low=0.005,
        high=0.3,
    ),
    "across": Key(
        kind="length",
        noun="size across",
        help="diameter of a round",
        example="45 mm",
        optional=True,
        low=0.005,
        high=0.3,
    ),
    "girth": Key(
        kind="length",
        help="tape round it: of a round, or of an oval beside its fore-and-aft size",
        example="141 mm",
        optional=True,
        low=0.015,
        high=1.2,
    ),
    "fullness": Key(kind="ratio", help="exponent of a superoval", example="2.5", optional=True, low=2.0, high=20.0),
    "wall": Key(
        kind="length", help="even wall of a hollow section", example="9 mm", optional=True, low=0.001, high=0.1
    ),
    "inside": Key(
        kind="choice", help="a solid place in a hollow shaft", example="solid", optional=True, choices=("solid",)
    ),
}

WOOD: dict[str, Key] = {
    "of": Key(kind="wood", noun="wood", help="a wood of the tables, or one of your own", example="Sitka spruce (US)"),
    "from": Key(kind="length", noun="beginning", help="from handle end", example="0 mm", optional=True, high=8.0),
    "to": Key(kind="length", noun="end", help="from handle end", example="2.42 m", optional=True, high=8.0),
    "runout": Key(
        kind="slope",
        noun="run-out of the grain",
        help="how far the grain runs out, on the worse of two faces: a drop of ink or a split follows it, and what it "
        "leaves the edge by over a length is written so",
        example="1:20",
        assume="1:15",
        why="run-out of the grain not measured: {taken}",
        high=1 / 6,
        span=("1:25", "1:8"),
    ),
    "moisture": Key(
        kind="moisture",
        help="measured, instead of by how the oar is kept",
        example="14 %",
        optional=True,
        low=0.06,
        high=0.35,
    ),
    "lacking_values": Key(
        kind="choice",
        help="estimate: fill values that the wood lacks by a published relation less its scatter",
        example="estimate",
        optional=True,
        choices=("estimate",),
    ),
}

FLAW: dict[str, Key] = {
    "kind": Key(
        kind="choice",
        help="a crease lies across the grain; tack holes are those of an old leather; leather, ferrule: still on it",
        example="tack holes",
        choices=FLAWS,
    ),
    "from": Key(kind="length", help="from handle end to its inner end", example="640 mm", high=8.0),
    "to": Key(kind="length", help="from handle end to its outer end", example="660 mm", high=8.0),
    "face": Key(
        kind="choice",
        help="which face it lies on, the blade upright",
        example="aft",
        optional=True,
        choices=("forward", "aft", "upper", "lower", "all round"),
        ways=("forward", "aft", "upper", "lower"),
    ),
    "width": Key(
        kind="length",
        help="across the grain, all holes of one row together; of a knot, its size",
        example="6 mm",
        optional=True,
        high=0.1,
        span=("1 mm", "20 mm"),
    ),
    "depth": Key(
        kind="length",
        help="how deep a dent or tack holes go",
        example="8 mm",
        optional=True,
        high=0.05,
        span=("1 mm", "15 mm"),
    ),
}

JOINT_KIND = Key(kind="choice", help="what it is", example="scarf", choices=tuple(JOINTS))
"""the first key of a joint; the others are those of its kind"""

TABLES: dict[str, dict[str, Key]] = {
    "oar": OAR,
    "rig": {**RIG, **LOCK, **HINGED},
    "rower": ROWER,
    "duty": DUTY,
    "care": CARE,
    "measured": MEASURED,
    "factors": FACTORS,
    "locker": LOCKER,
}
LISTS: dict[str, dict[str, Key]] = {"section": SECTION, "wood": WOOD, "joint": {"kind": JOINT_KIND}, "flaw": FLAW}
RIGS: dict[str, dict[str, Key]] = {"lock": {**RIG, **LOCK}, "hinged": {**RIG, **HINGED}}
TEXTS = ("title", "note", "answer_in")
"""plain top-level keys; answer_in is metric or inches"""
