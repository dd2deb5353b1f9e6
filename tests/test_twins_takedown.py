"""Every check of a takedown joint has twins, for a sleeve over both halves and for a tube that stays on one."""

from __future__ import annotations

from typing import Any

import pytest
from test_shaftfile import Doc, edit
from test_takedown import doc as takedown
from test_twins import EASY, STRONG
from twins import Change, assert_twins, twins

from shaftcheck.answer import answer_doc
from shaftcheck.checks.net import net_names
from shaftcheck.checks.takedown import DECLARES

GOOD: Doc = {
    "overlap": "200 mm", "wall": "4 mm", "tube": "stainless steel 304, annealed", "clearance": "0.1 mm",
    "stays_wet": "no", "held_by": "clamp", "clamp_slips_at": "9000 N", "pin_diameter": None, "pin_through": None,
    "pin_stands": None,
}  # fmt: skip
"""a joint that only what a test weakens makes fall short"""
ONE: Doc = {"form": "tube on the outer half", "fixed_length": "200 mm", "spigot_size": "46 mm"}
FORMS = {"sleeve": {}, "tube on one": ONE}
EVEN = [{"at": "0 mm", "across": "46 mm"}, {"at": "1.88 m", "across": "46 mm"}]
FAT_AT_THE_LOCK = [{"at": at, "across": size} for at, size in (
    ("0 mm", "46 mm"), ("0.3 m", "64 mm"), ("0.75 m", "64 mm"), ("1.05 m", "46 mm"), ("1.88 m", "46 mm"))]  # fmt: skip
MILD: Doc = {**STRONG, "bearing_12": "12 MPa", "bearing_green": "12 MPa"}
"""strong wood that does not burst its tube where it swells"""
BENDS = {"bending_12": "90 MPa", "bending_green": "60 MPa"}
SPLITS = {"shear_12": "10 MPa", "shear_green": "10 MPa"}
PULL = ("rower.greatest_pull", 50.0, 3000.0, "N")
LIGHT = (*EASY[:3], EASY[4], ("oar.water_off_axis", "0 mm"))
PUSHED = (*EASY, ("rower.strength", "trained"), ("oar.water_off_axis", "0 mm"))


def jointed(form: Doc, joint: Doc, weak: Doc, half: str, *changes: tuple[str, Any]) -> Doc:
    """Return a file with a good takedown joint in strong wood, weakened in what is told, in one half or both."""
    base = MILD if joint.get("stays_wet") == "yes" else STRONG
    out = edit(takedown({**GOOD, **form, **joint}), ("section", EVEN), ("own_wood", {"strong": base, "weak": {
        **base, **weak}}))  # fmt: skip
    woods = {"inner": ("weak", "strong"), "outer": ("strong", "weak"), "both": ("weak", "weak")}[half]
    rows = [{"of": woods[0], "runout": "1:20", "to": out["joint"][0]["at"]}, {"of": woods[1], "runout": "1:20"}]
    return edit(out, ("wood", rows), *changes)


STROKES = {"life beside the mouth": {"inner": (300, 375), "outer": (465, 580)}, "wood inside, life": {
    "inner": (260, 325), "outer": (408, 510)}}  # fmt: skip
"""hard pull and start of which a half's wood bears so many in a life"""


def strokes(hard: int, start: int) -> tuple[tuple[str, str], ...]:
    """Pulls that are all near what a half's wood bears in a life."""
    return (("rower.hard_pull", f"{hard} N"), ("rower.start_pull", f"{start} N"), ("rower.greatest_pull", f"{start} N"))


PINNED: Doc = {"held_by": "pin", "clamp_slips_at": None, "pins": "2", "pin_diameter": "5 mm", "pin_through":
    "up and down", "pin_of": "carbon, pultruded tube", "pin_stands": "mid-overlap"}  # fmt: skip
"""without a hole, which pressed wood would break at first, the others are clamped"""
Case = tuple[Doc, Doc, tuple[tuple[str, Any], ...], tuple[Change, float, float, str]]
"""what the joint is, what the wood is, what else, and what is varied"""
WHOLE: Doc = {"spigot_size": "46 mm"}
"""wood in the tube as thick as beside it"""
OF_A_HALF: dict[str, Case] = {
    "bearing": ({"stays_wet": "yes"}, {"bearing_green": "2.5 MPa"}, LIGHT, PULL),
    "bearing (loose)": ({"stays_wet": "yes", "clearance": "0.5 mm"}, {"bearing_12": "8 MPa",
        "bearing_green": "8 MPa"}, LIGHT, PULL),
    "inner shear (stiff)": ({"overlap": "80 mm", "fixed_length": "80 mm"}, SPLITS, LIGHT, PULL),
    "inner shear (springy)": ({"overlap": "300 mm", "fixed_length": "300 mm"}, SPLITS, LIGHT, PULL),
    "beside the mouth": ({"mouth": "square", **WHOLE}, BENDS, (*LIGHT, ("section", FAT_AT_THE_LOCK)), PULL),
    "life beside the mouth": ({"mouth": "square", **WHOLE}, BENDS, (*LIGHT[3:], ("section", FAT_AT_THE_LOCK)), (
        "rower.steady_pull", 20.0, 299.0, "N")),
    "pressed beside the mouth": (WHOLE, {"bending_green": "20 MPa"}, (*PUSHED, ("section", FAT_AT_THE_LOCK)), (
        "own_wood.weak.bending_12", 20.0, 250.0, "MPa")),
    "wood inside": ({"spigot_size": "41 mm"}, BENDS, (*LIGHT, ("section", FAT_AT_THE_LOCK)), PULL),
    "wood inside, life": ({"spigot_size": "41 mm"}, BENDS, (*LIGHT[3:], ("section", FAT_AT_THE_LOCK)), (
        "rower.steady_pull", 20.0, 299.0, "N")),
    "wood inside, pressed": ({"spigot_size": "43 mm"}, {"bending_green": "20 MPa"}, (*PUSHED, (
        "section", FAT_AT_THE_LOCK)), ("own_wood.weak.bending_12", 20.0, 290.0, "MPa")),
}  # fmt: skip
"""checks of one half, with weak wood there; a sleeve over both has no fixed_length"""


def of_a_half(form: str, half: str, what: str) -> tuple[Doc, tuple[Change, float, float, str]]:
    joint, weak, changes, varied = OF_A_HALF[what]
    if form == "sleeve":
        joint = {k: v for k, v in joint.items() if k != "fixed_length"}
    more: tuple[tuple[str, str], ...] = ()
    if what in STROKES:
        more = strokes(*STROKES[what][half])
        varied = (*varied[:2], float(more[0][1].removesuffix(" N")) - 1.0, varied[3])
    return jointed(FORMS[form], joint, weak, half, *changes, *more), varied


@pytest.mark.long
@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("half", ["inner", "outer"])
@pytest.mark.parametrize("what", OF_A_HALF)
def test_half(form: str, half: str, what: str) -> None:
    doc, varied = of_a_half(form, half, what)
    check = f"takedown, {half} half, {what}"
    if what.endswith(
        "beside the mouth"
    ):  # wood inside, no thicker, bears as much at the mouth, and a little more within
        inside = f"takedown, {half} half, wood inside"
        assert_twins(twins(doc, check, *varied, apart=0.01), check, beside=tuple(net_names(inside)))
    else:
        assert_twins(twins(doc, check, *varied), check)


def placed(doc: Doc, at: str) -> Doc:
    """The joint elsewhere, and with it the place where its woods meet."""
    return edit(doc, ("joint.0.at", at), ("wood.0.to", at))


def beside_a_scarf(doc: Doc, at: str) -> Doc:
    scarf = {"kind": "scarf", "middle": "0.95 m", "slope": "1:10", "cut_through": "up and down", "outer_tip_on":
             "upper", "glue": "resorcinol", "sample_broken": "yes"}  # fmt: skip
    both = placed(doc, at)
    return edit(both, ("joint", [*both["joint"], scarf]))


def engaged(doc: Doc, length: str) -> Doc:
    """Both halves by another length."""
    (j,) = doc["joint"]
    return edit(doc, *((f"joint.0.{key}", length) for key in ("overlap", "fixed_length") if key in j))


HOLLOW = {"plug": "250 mm"}


def in_proportion(bending: int) -> Doc:
    """Wood whose crushing strength is half its bending strength, about as in real woods: tubes ask for it."""
    return {"bending_12": f"{bending} MPa", "bending_green": f"{0.9 * bending:g} MPa",
            "compression_12": f"{bending / 2:g} MPa", "compression_green": f"{0.45 * bending:g} MPa"}  # fmt: skip


TUBULAR = (*LIGHT, ("oar.inside", "hollow"), ("section", [{**s, "wall": "20 mm" if s["across"] == "64 mm" else "8 mm"}
    for s in FAT_AT_THE_LOCK]))  # fmt: skip
OF_THE_REST: dict[str, Case] = {
    "tube bending": ({}, {}, LIGHT, ("joint.0.wall", 0.4, 4.0, "mm")),
    "tube shear": ({"overlap": "85 mm", "fixed_length": "85 mm", "at": "1.79 m"}, {}, (*LIGHT[:4],
        ("oar.water_off_axis", "299 mm")), (
        "joint.0.wall", 0.31, 4.0, "mm")),
    "tube in long use": ({"tube": "aluminium 6061-T6"}, {}, (("rower.steady_pull", "380 N"), ("rower.hard_pull",
        "390 N"), ("rower.start_pull", "400 N"), *LIGHT[3:]), ("joint.0.wall", 0.4, 4.0, "mm")),
    "tube mouth": ({"overlap": "60 mm", "fixed_length": "60 mm"}, {}, LIGHT, ("joint.0.wall", 0.4, 4.0, "mm")),
    "swollen wood": ({"stays_wet": "yes", "wall": "3.4 mm", "overlap": "120 mm", "fixed_length": "120 mm"}, {}, LIGHT,
        PULL),
    "tube buckling": ({"tube": "aluminium 6061-T6", "spigot_size": "90 mm", "wall": "0.3 mm"},
        {}, (*LIGHT, ("section", [{"at": at, "across": "90 mm"} for at in ("0 mm", "1.88 m")])), PULL),
    "pin shear": (PINNED, {}, LIGHT, ("joint.0.pin_diameter", 1.0, 5.7, "mm")),
    "pin bending": ({**PINNED, "pin_of": "stainless steel 304, annealed"}, {}, LIGHT, (
        "joint.0.pin_diameter", 1.0, 5.7, "mm")),
    "pin on the wood": ({**PINNED, "pin_of": "stainless steel 304, annealed"}, {
        "bearing_12": "8 MPa", "bearing_green": "8 MPa"},
        (*LIGHT[:4], ("oar.water_off_axis", "80 mm")), PULL),
    "pin on the tube": ({**PINNED, "wall": "0.68 mm", "pin_of": "stainless steel 304, annealed", "pins": "1"}, {},
        (*LIGHT[:4], ("oar.water_off_axis", "100 mm")), ("joint.0.pin_diameter", 2.0, 5.7, "mm")),
    "wood at the pin": ({**PINNED, "pin_through": "fore and aft", "pin_stands": "anywhere", "pin_diameter":
        "5.3 mm", "spigot_size": "43 mm"}, BENDS, (
        *LIGHT, ("section", FAT_AT_THE_LOCK)), PULL),
    "wood at the pin, life": ({**PINNED, "pin_through": "fore and aft", "pin_stands": "anywhere",
        "pin_diameter": "5.3 mm", "spigot_size": "43 mm"}, BENDS,
        (*LIGHT[3:], ("section", FAT_AT_THE_LOCK), ("rower.hard_pull", "290 N"), ("rower.start_pull", "363 N"),
        ("rower.greatest_pull", "363 N")), ("rower.steady_pull", 20.0, 289.0, "N")),
    "wood at the pin, pressed": ({**PINNED, "pin_through": "up and down", "pin_stands": "anywhere", "pin_diameter":
        "5.3 mm", "spigot_size": "43 mm"}, {
        "bending_green": "20 MPa"},
        (*PUSHED, ("section", FAT_AT_THE_LOCK)), ("own_wood.weak.bending_12", 20.0, 290.0, "MPa")),
    "shear at the pin": ({**PINNED, "overlap": "300 mm", "fixed_length": "300 mm", "pin_stands": "anywhere"}, SPLITS,
        LIGHT, PULL),
    "pins from the end": (PINNED, {}, LIGHT, (engaged, 60.0, 200.0, "mm")),
    "pins from the edge": (PINNED, {}, LIGHT, ("joint.0.pin_diameter", 4.5, 7.0, "mm")),
    "tube at the pin": ({**PINNED, "pin_through": "fore and aft", "pin_stands": "anywhere", "tube":
        "aluminium 6061-T6"}, {}, (
        ("rower.steady_pull", "380 N"), ("rower.hard_pull", "390 N"), ("rower.start_pull", "400 N"), *LIGHT[3:]), (
        "joint.0.wall", 0.4, 8.0, "mm")),
    "clamp's grip": ({}, {}, LIGHT, ("joint.0.clamp_slips_at", 100.0, 5000.0, "N")),
    "shoulder pressed": ({"spigot_size": "44 mm"}, {"compression_12": "7 MPa", "compression_green": "4 MPa"}, PUSHED,
        ("own_wood.weak.compression_12", 4.0, 60.0, "MPa")),
    "beside the plug": (HOLLOW, in_proportion(110), TUBULAR, PULL),
    "beside the plug, life": (HOLLOW, in_proportion(120), (*TUBULAR, ("rower.hard_pull", "300 N"),
        ("rower.start_pull", "375 N"), ("rower.greatest_pull", "375 N")), ("rower.steady_pull", 20.0, 299.0, "N")),
    "beside the plug, pressed": (HOLLOW, in_proportion(150), (*PUSHED, *TUBULAR[len(LIGHT):]), (
        "own_wood.weak.bending_12", 90.0, 220.0, "MPa")),
    "solid inside": ({"plug": "250 mm"}, {}, (*LIGHT, ("oar.inside", "hollow"), ("section", [{"at": at, "across":
        "46 mm", "wall": "12 mm"} for at in ("0 mm", "1.88 m")])), ("joint.0.plug", 150.0, 400.0, "mm")),
    "clear of the lock": ({}, {}, LIGHT, (placed, 700.0, 1300.0, "mm")),
    "clear of other joints": ({}, {}, (*LIGHT, ("rig.lock", "500 mm")), (beside_a_scarf, 1200.0, 1600.0, "mm")),
}  # fmt: skip


def of_the_rest(form: str, what: str) -> tuple[Doc, tuple[Change, float, float, str]]:
    joint, weak, changes, varied = OF_THE_REST[what]
    drop = ("fixed_length",) if form == "sleeve" else ()
    doc = jointed(FORMS[form], {k: v for k, v in joint.items() if k not in drop}, weak, "both", *changes)
    return doc, varied


@pytest.mark.long
@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("what", OF_THE_REST)
def test_tube_pin_and_place(form: str, what: str) -> None:
    doc, varied = of_the_rest(form, what)
    beside = ("scarf, clear of other joints",) if what == "clear of other joints" else ()
    assert_twins(
        twins(doc, f"takedown, {what}", *varied),
        f"takedown, {what}",
        beside=beside,
        leaps="clear of" in what or "pins from" in what,
    )


@pytest.mark.parametrize("form", FORMS)
def test_ends_that_are_crushed_break_before(form: str) -> None:
    """The push that crushes the ends comes with a side force that has long broken the wood inside: both are named."""
    joint = {"spigot_size": "9 mm", "wall": "1 mm"}
    doc = jointed(FORMS[form], joint, {"compression_green": "4 MPa"}, "both", *PUSHED)
    found = twins(doc, "takedown, ends pressed", "own_wood.weak.compression_12", 4.0, 100.0, "MPa")
    over = [{line.check for line in a.oars[0].lines if not line.use <= 1.0} for a in (found.holds, found.fails)]
    assert "takedown, ends pressed" not in over[0]
    assert "takedown, ends pressed" in over[1]
    assert over[1] - over[0] == {"takedown, ends pressed"}
    assert {"takedown, inner half, wood inside", "takedown, outer half, wood inside"} <= over[0]
    assert found.fails.state == "FALLS SHORT"


@pytest.mark.parametrize("form", FORMS)
def test_what_nothing_holds_together_is_not_settled(form: str) -> None:
    doc = jointed(FORMS[form], PINNED, {}, "both", *LIGHT)
    free = {"held_by": "nothing", "pin_diameter": None, "pin_through": None, "pin_stands": None, "pins": None,
            "pin_of": None}  # fmt: skip
    loose = edit(doc, *((f"joint.0.{k}", v) for k, v in free.items()))
    assert answer_doc(doc, "pinned").state == "HOLDS"
    a = answer_doc(loose, "loose")
    assert a.state == "NOT SETTLED"
    assert "takedown, held together" in {line.check for line in a.oars[0].lines if not line.known}


def test_every_check_of_a_takedown_has_twins() -> None:
    halves = {f"takedown, {half} half, {what}" for half in ("inner", "outer") for what in OF_A_HALF}
    rest = {f"takedown, {what}" for what in OF_THE_REST}
    assert halves | rest | {"takedown, ends pressed", "takedown, held together"} == set(DECLARES)


@pytest.mark.parametrize(
    ("form", "half", "what"), [("sleeve", "inner", "bearing"), ("tube on one", "outer", "wood inside")]
)
def test_two_of_them_in_every_run(form: str, half: str, what: str) -> None:
    test_half(form, half, what)
