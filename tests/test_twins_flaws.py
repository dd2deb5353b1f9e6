"""Every comparison of a flaw has twins: a file just below its limit that holds, one just above that falls short."""

from __future__ import annotations

import pytest
from test_flaws import RIG
from test_hinge import built
from test_shaftfile import JOINT, Doc, edit
from test_twins import EASY, ROUND, strong
from test_twins_hinge import PUSHED, halves
from test_twins_scarf import scarfed
from test_twins_takedown import jointed
from twins import assert_twins, twins

from shaftcheck.answer import answer_doc
from shaftcheck.checks import JOINTS, declared
from shaftcheck.checks.flaw import KINDS

WEAKENS = ("dent", "tack holes", "knot")
SITS = ("leather", "ferrule")
CALM = (*EASY, ("oar.water_off_axis", "0 mm"))
PULLED = (*EASY[:3], EASY[4])
STROKES = (("rower.steady_pull", "265 N"), ("rower.hard_pull", "310 N"), ("rower.start_pull", "350 N"))
Weak = tuple[tuple[tuple[str, str], ...], dict[str, dict[str, str]]]
WEAK: dict[str, Weak] = {
    "": (PULLED, {
        "whole": {"bending_12": "70 MPa", "bending_green": "50 MPa"},
        "inner": {"bending_12": "30 MPa", "bending_green": "25 MPa"},
        "outer": {"bending_12": "45 MPa", "bending_green": "35 MPa"},
    }),
    "life": (STROKES, {
        "whole": {"bending_12": "75 MPa", "bending_green": "55 MPa"},
        "inner": {"bending_12": "35 MPa", "bending_green": "28 MPa"},
        "outer": {"bending_12": "50 MPa", "bending_green": "40 MPa"},
    }),
    "pressed": (PUSHED, {
        "whole": {"bending_12": "120 MPa", "bending_green": "45 MPa"},
        "outer": {"bending_12": "80 MPa", "bending_green": "25 MPa"},
    }),
    "shear": (PULLED, {
        "whole": {"shear_12": "2.4 MPa", "shear_green": "2 MPa"},
        "inner": {"shear_12": "2.4 MPa", "shear_green": "2 MPa"},
        "outer": {"shear_12": "2.6 MPa", "shear_green": "2.2 MPa"},
    }),
    "within": (PULLED, {
        "whole": {"bearing_12": "1.5 MPa", "bearing_green": "1.2 MPa"},
        "inner": {"bearing_12": "6 MPa", "bearing_green": "5 MPa"},
        "outer": {"bearing_12": "8 MPa", "bearing_green": "7 MPa"},
    }),
}  # fmt: skip
"""what a flaw's comparison is asked under, and the wood that it is weak in, by where the flaw is"""
SEATS = {"whole": "lock's seat", "inner": "inner cradle", "outer": "outer cradle"}
LIES = {"whole": 1200, "inner": 450, "outer": 960}
"""where a flaw lies outside its seat [mm]: the lock presses 671 to 709, the cradles 490 to 690 and 693 to 933"""
LIES_IN = {"whole": 685, "inner": 600, "outer": 880}
MOST = {"whole": 42.0, "inner": 55.0, "outer": 55.0}
"""width that is tried [mm]; the shaft is 50, 68 and 65 mm there"""


def flawed(kind: str, what: str, where: str) -> tuple[Doc, str, str, float]:
    """Return a file with one flaw, its comparison's name, what is varied and how far [mm]."""
    changes, weak = WEAK[what]
    tight = (*changes, ("rig.clamp_force", "2500 N"))
    base = strong(ROUND, *changes, **weak[where]) if where == "whole" else halves(where, RIG, *tight, **weak[where])
    start = (LIES_IN if what == "within" else LIES)[where]
    sizes = {"width": "30 mm" if where == "whole" else "46 mm", "depth": "16 mm"}
    if kind == "knot":
        del sizes["depth"]
    flaw = {"kind": kind, "from": f"{start} mm", "to": f"{start + 10} mm", "face": "aft", **sizes}
    by, most = ("depth", 40.0) if kind == "dent" and "bending_12" in weak[where] else ("width", MOST[where])
    name = f"{kind}, within the {SEATS[where]}" if what == "within" else f"{kind}, {what}" if what else kind
    return edit(base, ("flaw", [flaw])), name, f"flaw.0.{by}", most


SIZES = [(kind, what, where) for kind in WEAKENS for what, (_, weak) in WEAK.items() for where in weak]
EVERY_RUN = (("dent", "outer"), ("knot", "inner"))


@pytest.mark.parametrize(("kind", "what", "where"), [
    pytest.param(*case, marks=() if case[2] == "whole" or case[::2] in EVERY_RUN else pytest.mark.long)
    for case in SIZES
])  # fmt: skip
def test_of_its_size(kind: str, what: str, where: str) -> None:
    doc, check, varied, most = flawed(kind, what, where)
    assert_twins(twins(doc, check, varied, 0.1, most), check)


# --------------------------------------------------------------------------------------------------- rules of place

SCARFED = scarfed({}, {}, "both", *CALM)
TUBED = jointed({}, {}, {}, "both", *CALM)
CRADLED = halves("inner", RIG, ("rig.kerf", "6 mm"), *CALM)


def lies(kind: str, start: str, end: str) -> Doc:
    sizes = {"dent": ("width", "depth"), "tack holes": ("width", "depth"), "knot": ("width",)}.get(kind, ())
    face = {} if kind in SITS else {"face": "aft"}
    return {"kind": kind, "from": start, "to": end, **face, **dict.fromkeys(sizes, "2 mm")}


PLACES: dict[str, tuple[Doc, str, Doc, str, float, float]] = {
    "grip": (strong(ROUND, *CALM), "crease", lies("crease", "20 mm", "30 mm"), "to", 50.0, 90.0),
    "kerf, inner": (CRADLED, "crease", lies("crease", "691 mm", "693 mm"), "from", 685.0, 692.5),
    "kerf, outer": (CRADLED, "crease", lies("crease", "691 mm", "693 mm"), "to", 692.0, 700.0),
    **{f"{kind} at the {which} cradle": (CRADLED, f"{kind}, clear of the cradles", lies(kind, *at), key, *ends)
       for kind in SITS for which, at, key, *ends in (
           ("inner", ("400 mm", "410 mm"), "to", 450.0, 550.0), ("outer", ("1 m", "1.1 m"), "from", 900.0, 1000.0))},
    **{f"{kind} at the {side} of the tube": (TUBED, f"{kind}, clear of the takedown", lies(kind, *at), key, *ends)
       for kind in SITS for side, at, key, *ends in (
           ("start", ("900 mm", "910 mm"), "to", 920.0, 1290.0), ("end", ("1.7 m", "1.71 m"), "from", 1310.0, 1650.0))},
}  # fmt: skip
"""the file, the comparison, the flaw, which of its ends is moved, and between where [mm]"""
AT = {"grip": 70.0, "blade": 2190.0, "kerf, inner": 690.0, "kerf, outer": 696.0, "inner cradle": 490.0,
      "outer cradle": 936.0, "start of the tube": 1100.0, "end of the tube": 1500.0}  # fmt: skip
"""where each begins to count, from the sizes in the files [mm]: the hand, the kerf, the cradles, the overlap"""


@pytest.mark.parametrize("case", [pytest.param(c, marks=pytest.mark.long if "ferrule" in c else ()) for c in PLACES])
def test_of_its_place(case: str) -> None:
    doc, check, flaw, key, low, high = PLACES[case]
    t = twins(edit(doc, ("flaw", [flaw])), check, f"flaw.0.{key}", low, high, apart=1e-4)
    assert_twins(t, check, leaps=True)
    assert t.at == pytest.approx(next(at for name, at in AT.items() if case.endswith(name)), rel=1e-4)


# ------------------------------------------------------------------------------------------------- not settled

BESIDE = {"scarf": (SCARFED, 1576.0 + 46.0), "takedown": (TUBED, 1500.0 + 46.0)}
"""where sound wood must reach to [mm]: the joint's end, and the shaft's greater size beyond it"""


@pytest.mark.parametrize("kind", WEAKENS)
@pytest.mark.parametrize("joint", BESIDE)
def test_within_a_joint(kind: str, joint: str) -> None:
    """No use tells of it: beside a joint it is not settled by its name, and clear of it it holds."""
    doc, end = BESIDE[joint]
    clear, near = (answer_doc(edit(doc, ("flaw", [lies(kind, f"{end + by} mm", f"{end + 10} mm")])), "twin")
                   for by in (0.1, -0.1))  # fmt: skip
    assert clear.state == "HOLDS"
    assert near.state == "NOT SETTLED"
    assert {line.check for line in near.oars[0].lines if not line.known} == {f"{kind}, within the {joint}"}


def test_of_no_timber() -> None:
    whole = strong(ROUND, *CALM)
    assert answer_doc(whole, "stick").state == "HOLDS"
    a = answer_doc(edit(whole, ("oar.material", "laminate tube")), "tube")
    assert a.state == "NOT SETTLED"
    assert {line.check for line in a.oars[0].lines if not line.known} == {"material"}


def test_every_comparison_of_a_flaw_has_twins() -> None:
    """Over all kinds of flaw on all rigs and joints; with a repair no shaft holds, flawed or not."""
    told = {flawed(*case)[1] for case in SIZES} | {case[1] for case in PLACES.values()} | {"material"}
    told |= {f"{kind}, within the {joint}" for kind in WEAKENS for joint in BESIDE}
    bare = {"whole": strong(ROUND), "hinged": CRADLED, "scarf": SCARFED, "takedown": TUBED,
            "repair": edit(strong(ROUND), ("joint", [JOINT]))}  # fmt: skip
    assert set(JOINTS) <= set(bare)
    named = set()
    for doc in bare.values():
        every = [lies(kind, f"{300 + 20 * i} mm", f"{310 + 20 * i} mm") for i, kind in enumerate(KINDS)]
        other = edit(doc, ("flaw", every), ("oar.material", "metal tube"))
        named |= set(declared(built(other))) - set(declared(built(doc)))
    assert named == told | {f"{kind}, within the repair" for kind in WEAKENS}
    assert answer_doc(bare["repair"], "repaired").state == "NOT SETTLED"
