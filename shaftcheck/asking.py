"""A question asked: its options read, its files read, and the question put."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from shaftcheck.border.files import tables
from shaftcheck.border.shaftfile import changed, entries
from shaftcheck.errors import Fault, InputError, together
from shaftcheck.questions import QUESTIONS, question_of
from shaftcheck.questions.question import Asked, Finding, Tick

__all__ = ["ask"]


def ask(
    command: str,
    *shafts: Mapping[str, Any] | str | Path,
    system: Any = None,
    tick: Tick | None = None,
    **options: Any,
) -> Finding:
    """Ask one of the questions of one shaft, two, or none.

    Parameters
    ----------
    command : what is asked: 'what-breaks', 'how-sure', 'first-length', 'mend', 'match-pair', 'judge-planks',
        'which-woods', 'bench-test', 'where' or 'how-thick'
    shafts : shaft files by path, or their tables as mappings
    system : metric or inches, instead of what the file asks for
    options : of the question, as texts with units or pint quantities; `shaftcheck where --help` lists those of `where`

    Raises
    ------
    InputError
        with every fault of the options, or of a file, at once.
    """
    if command not in QUESTIONS:
        raise InputError("question", [Fault(command, "not a question", f"write one of {', '.join(QUESTIONS)}")])
    q = question_of(command)
    wanted = {"none": 0, "one": 1, "two": 2}[q.files]
    if len(shafts) != wanted:
        raise InputError(command, [Fault("FILE", f"{len(shafts)} given", f"give {q.files}")])
    if system not in (None, "metric", "inches"):
        raise InputError(command, [Fault("system", f"{system!r} is not a way to answer", "write metric or inches")])
    given = {k.replace("-", "_"): str(v) if isinstance(v, Path) else v for k, v in options.items() if v is not None}
    try:
        read = entries(command, given, q.options)
    except InputError as e:
        own = f"{command}."
        raise InputError(command, [replace(f, key=f.key.removeprefix(own)) for f in e.faults]) from None
    values = {path.rpartition(".")[2]: e.value for path, e in read.items() if e.value is not None}
    docs = _docs(shafts)
    found = q.ask(Asked(docs=docs, options=values, system=system, tick=tick, changed=q.changed))
    if any("change" in doc for _, doc in docs):
        found = replace(found, oar="as changed" if q.changed else "as it stands")
        if not q.changed:
            apart = "the oar as it stands: what the file's [change] makes of it is not in this answer"
            found = replace(found, searched=(*found.searched, apart))
    laxest = min((own_divisor(doc) for _, doc in docs), default=1.0)
    if laxest < 1.0:
        found = replace(
            found, sentence=f"The file's own divisor of {laxest:g} is laxer than the method. {found.sentence}"
        )
    return found


def _docs(shafts: tuple[Mapping[str, Any] | str | Path, ...]) -> tuple[tuple[str, Mapping[str, Any]], ...]:
    """Return what to call each shaft and its tables, or the faults of all that can't be read."""
    found, wrong = [], []
    for shaft in shafts:
        try:
            found.append(tables(shaft))
        except InputError as e:
            wrong.append(e)
    if wrong:
        raise together(wrong)
    return tuple(found)


def own_divisor(doc: Mapping[str, Any]) -> float:
    """Return what the user divides each strength by, the least of the oar as it stands and as changed; 1 if not told.

    Parameters
    ----------
    doc : tables of a shaft file that was found to be whole
    """
    tables = (doc, changed(doc) or doc)
    return min(float(t.get("factors", {}).get("own_divisor", 1.0)) for t in tables)
