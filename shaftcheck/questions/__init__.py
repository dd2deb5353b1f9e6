"""The questions beside 'does it hold?': one file a question, read only when it is asked."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shaftcheck.questions.question import Question

__all__ = ["QUESTIONS", "question_of"]

QUESTIONS: dict[str, tuple[str, str]] = {
    "what-breaks": ("what_breaks", "what breaks first, and at what pull"),
    "how-sure": ("how_sure", "the chance that it falls short, and what drives it"),
    "first-length": ("first_length", "how long an oar, where its lock, which blade: a first answer"),
    "mend": ("mend", "a broken oar: where to cut and scarf, which plank, in the pair again or a spare"),
    "match-pair": ("match_pair", "two oars of a pair, and where to take off what"),
    "judge-planks": ("judge_planks", "is a plank fit for this shaft, and where"),
    "which-woods": ("which_woods", "which two woods: the shelf first, then the tables"),
    "bench-test": ("bench_test", "what to hang where, how far it sags, and what a measured sag tells"),
    "where": ("where", "where it may be cut or jointed"),
    "how-thick": ("how_thick", "how thick, how long a scarf, how long an overlap"),
}
"""command: its module here, whose `QUESTION` it is, and what it says in the list of commands"""


def question_of(command: str) -> Question:
    """Return a question by its command."""
    found: Question = import_module(f"shaftcheck.questions.{QUESTIONS[command][0]}").QUESTION
    return found
