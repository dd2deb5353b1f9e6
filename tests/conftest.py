"""Settings of all tests: the same examples in every run, so that a failure can be met again."""

import pickle
import re
from collections import OrderedDict
from collections.abc import Callable
from functools import wraps
from typing import Any

import pytest
from hypothesis import settings

import shaftcheck.answer
import shaftcheck.show.papers
import shaftcheck.show.sheet

settings.register_profile("same", derandomize=True, deadline=None)
settings.load_profile("same")


def remembered(work: Callable[..., Any], most: int = 60) -> Callable[..., Any]:
    """Return `answer_doc` with the last answers kept: a pure function of its file, and tests ask the same ones often.

    `tests/test_answer.py` holds that it is one. Who counts progress is answered anew.
    """
    kept: OrderedDict[bytes, Any] = OrderedDict()

    @wraps(work)
    def answer_doc(doc: Any, name: str, *, tick: Any = None, **more: Any) -> Any:
        if tick is not None:
            return work(doc, name, tick=tick, **more)
        key = pickle.dumps([doc, name, more])
        if key not in kept:
            kept[key] = work(doc, name, **more)
            if len(kept) > most:
                kept.popitem(last=False)
        kept.move_to_end(key)
        return kept[key]

    return answer_doc


def remembered_page(work: Callable[..., str], most: int = 30) -> Callable[..., str]:
    """Return a page's maker with the last pages kept, by the answer itself and what else it is made of."""
    kept: OrderedDict[tuple[int, bytes], tuple[Any, str]] = OrderedDict()

    @wraps(work)
    def page(a: Any, *more: Any, **named: Any) -> str:
        key = id(a), pickle.dumps([more, named])
        if key not in kept:
            kept[key] = a, work(a, *more, **named)  # with the answer itself, so that no other gets its number
            if len(kept) > most:
                kept.popitem(last=False)
        kept.move_to_end(key)
        return kept[key][1]

    return page


shaftcheck.answer.answer_doc = remembered(shaftcheck.answer.answer_doc)
shaftcheck.show.sheet.sheet = remembered_page(shaftcheck.show.sheet.sheet)
shaftcheck.show.papers.papers = remembered_page(shaftcheck.show.papers.papers)

LONG = re.compile(
    r"test_(figures|sheet|worked|wood_questions|how_thick|needs|papers)\.py.*inches"
    r"|test_worked\.py.*\[(?!plain|hinged-rig|takedown-oar|two-wood)"
    r"|test_twins_hinge\.py.*(plug|bolt|life|pressed)"
    r"|test_stow\.py.*verdict_of_stowing\[room[2-9]"
    r"|test_cutting\.py.*where_old_tack_holes.*(forward|upper)"
    r"|test_figures\.py.*no_label.*(bolted|plugged|levered|button|clamped)"
    r"|test_needs\.py.*joint2"
    r"|test_fuzz\.py.*\[[1-9]"
    r"|test_advice\.py.*several.*short"
    r"|test_properties\.py.*bit_for_bit\[pins-hollow (superoval|rectangle)"
    r"|test_unknown\.py.*many_unknown.*\[1[0-9]"
    r"|test_flaws_in\.py.*(through_the_wall|lowers_no_use|besides)"
    r"|test_where\.py.*(gives\[scarf|cut, hollow|hatch[12])"
    r"|test_mend\.py.*fed_back.*(shelf|neck)"
    r"|test_keys_for_programs\.py.*questions"
    r"|test_how_thick\.py.*fed_back.*scarfed"
    r"|test_(papers|papers_print|figures|cli|record|sheet|browser|answer)\.py.*\[.*(stouter|elsewhere|made-to-hold|to-stow)"
    r"|test_followed\.py.*\[(?!scarfed-metric)"
    r"|test_options\.py.*over_a_range"
    r"|test_what_breaks\.py.*random_shafts\[(?!oval-lock)"
    r"|test_(browser|papers_print)\.py.*runs_off.*\[(?!.*(plain|takedown-oar))"
    r"|test_(sheet|figures)\.py.*\[(oar-to-cut|old-oar-cut|hinged-rig-scarfed)"
    r"|test_cli\.py.*(hundred_columns\[form[12]-(?!plain)|in_its_echo.*-inches)"
    r"|test_twins_flaws\.py.*of_its_size\[(knot|dent).*(inner|outer)"
    r"|test_papers_print\.py.*(ticked_off|true_when_printed).*(Letter|inches)"
    r"|test_where\.py.*every_use_is.*\[takedown, "
    r"|test_cut_agrees\.py.*\[(two woods|inches)"
    r"|test_browser\.py.*one_tick.*hinged"
    r"|test_cutting\.py.*answer_from_a_file.*inches"
    r"|test_record\.py.*prints_the_record.*(oar-to-cut|old-oar|scarfed)"
    r"|test_worked\.py.*(typeset|solved_meets).*\[(hinged-rig-|takedown-oar-)"
    r"|test_kept\.py.*within_a_size.*inches"
    r"|test_papers\.py.*every_line.*(old-oar|oar-to-cut|scarfed)"
    r"|test_what_breaks\.py.*pull_to_work.*(old-oar|to-stow)"
    r"|test_pulls\.py.*as_a_set.*(old-oar|to-stow|stouter)"
    r"|test_sheet\.py.*(well_formed|same_answer).*\[(hinged-rig|two-wood|changed|near)"
    r"|test_cli\.py.*in_its_echo.*\[(old-oar|oar-to-cut|hinged-rig-scarfed)"
)
"""what repeats in other units, sizes or kinds what every run holds: it runs before a release, with -m long"""


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what a run leaves to the release."""
    for item in items:
        if LONG.search(item.nodeid):
            item.add_marker(pytest.mark.long)
