"""What breaks first, and at what pull?"""

from __future__ import annotations

import math

from shaftcheck.answer import Line, answer_doc
from shaftcheck.border.sizes import System, show
from shaftcheck.questions.question import Asked, Finding, Picture, Question, Table, numbers

__all__ = ["QUESTION"]


def _pull(line: Line, system: System) -> str:
    """Return the case's own quantity at which the limit is met."""
    if line.good_for_unit == "N":
        return show(line.good_for, "force", system, side="down")
    return "" if math.isnan(line.good_for) else f"{line.good_for:.2g} {line.good_for_words}"


def _ask(asked: Asked) -> Finding:
    (name, doc), system = asked.docs[0], asked.system
    a = answer_doc(doc, name, system=system, tick=asked.tick)
    oar = a.oars[-1]
    lines = sorted((li for li in oar.lines if li.use > 0.0), key=lambda li: -li.use)
    open_ = [li.check for li in oar.lines if not li.known]
    first = lines[0]
    rows = tuple(
        (
            li.check,
            li.kind,
            li.case_title or "all strokes of a life",
            show(li.x, "length", a.system),
            _pull(li, a.system),
            f"{math.ceil(li.use * 100.0 - 1e-9)} %",
        )
        for li in lines
    )
    return Finding(
        question="what-breaks",
        title=a.title or name,
        sentence=f"First of all it {first.kind} {first.place}: {first.check}, under "
        f"{first.case_title or 'all strokes of a life'}."
        + (f" Not checked, and perhaps before that: {', '.join(open_)}." if open_ else ""),
        answered=not open_,
        system=a.system,
        tables=(
            Table(
                title="In the order in which the limits are met",
                heads=("check", "what happens", "worst under", "from handle end", "work to", "used"),
                rows=rows,
                numeric=(3, 4, 5),
            ),
        ),
        pictures=(
            Picture(
                title="What is met first",
                says=f"Bars of the use of each check, the longest first: {first.check}.",
                x_label="use of the limit, %",
                y_label="",
                bars=tuple((li.check, li.use * 100.0) for li in lines),
                limit=100.0,
                limit_label="the limit",
            ),
        ),
        data={
            "order": [
                {
                    "check": li.check,
                    "kind": li.kind,
                    "use": numbers(li.use, ""),
                    "good_for": numbers(li.good_for, li.good_for_unit),
                }
                for li in lines
            ],
        },
        searched=("every check of every load that the shaft must hold",),
    )


QUESTION = Question(
    asks="what breaks first, and at what pull?",
    ask=_ask,
    examples=("what-breaks my-oar.toml", "what-breaks my-oar.toml --plot order.svg"),
)
