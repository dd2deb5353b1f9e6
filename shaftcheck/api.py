"""Python use: the job of the command in a few lines, with pint quantities in and out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from shaftcheck.answer import Answer, answer_doc
from shaftcheck.border.files import tables
from shaftcheck.border.units import registry
from shaftcheck.words import CAUTIONS

__all__ = ["Result", "check"]

Stroke = Literal["once", "start", "hard", "steady"]


@dataclass(frozen=True, slots=True, repr=False)
class Result:
    """What one shaft is answered with; of an oar that is to be changed, the oar as changed.

    Ask it for `state`, `holds`, `sentences`, `pull("once")`, `use("bending")`, `checks`, `weight`, `balance`,
    `cautions`; for the whole of it `as_text()`, `as_record()`, `as_sheet()`, `answer`.
    """

    answer: Answer
    """all of it, sizes in SI"""

    def __repr__(self) -> str:
        return f"<{self.answer.title or self.answer.name}: {self.state}. {self.sentences[0]}>"

    @property
    def state(self) -> str:
        """Return HOLDS, FALLS SHORT or NOT SETTLED."""
        return self.answer.state

    @property
    def holds(self) -> bool:
        """Return whether everything that is needed was checked and holds."""
        return self.state == "HOLDS"

    @property
    def sentences(self) -> tuple[str, str]:
        """Return the verdict in two sentences."""
        return self.answer.oars[-1].sentences

    @property
    def cautions(self) -> tuple[str, ...]:
        """Return what must be said beside every verdict."""
        return tuple(text for _, text in CAUTIONS)

    def pull(self, stroke: Stroke = "once") -> Any:
        """Return the pull at the hand to work to [force]; nan where not known.

        Parameters
        ----------
        stroke : 'once' (the greatest single pull), 'start' (a start or sprint), 'hard' or 'steady' rowing

        Raises
        ------
        LookupError
            if there is no such stroke.
        """
        pulls = self.answer.oars[-1].pulls
        if stroke not in pulls:
            raise LookupError(f"no stroke {stroke!r}; there are: {', '.join(pulls)}")
        return pulls[stroke] * registry().newton

    def use(self, check: str) -> float:
        """Return the use of a check, worst of its name; nan where not known.

        Parameters
        ----------
        check : one of `checks`, as 'bending'; which there are hangs on rig, joints and flaws

        Raises
        ------
        LookupError
            if the shaft has no such check.
        """
        found = [line.use for line in self.answer.oars[-1].lines if line.check == check]
        if not found:
            raise LookupError(f"no check '{check}' here; there are: {', '.join(self.checks)}")
        return max(found)

    @property
    def checks(self) -> tuple[str, ...]:
        """Return the names of all checks, worst first."""
        return tuple(line.check for line in self.answer.oars[-1].lines)

    @property
    def weight(self) -> Any:
        """Return the oar's mass [mass]."""
        return float(self.answer.oars[-1].whole.mass) * registry().kilogram

    @property
    def balance(self) -> Any:
        """Return where it balances, from the handle end [length]."""
        return float(self.answer.oars[-1].whole.balance) * registry().meter

    def as_text(self) -> str:
        """Return the whole answer as text."""
        from shaftcheck.show.table import full

        return full(self.answer)

    def as_record(self) -> dict[str, Any]:
        """Return the whole answer as plain data with units, ready for JSON."""
        from shaftcheck.show.record import record

        return record(self.answer)

    def as_sheet(self) -> str:
        """Return the shop sheet: one HTML page, without anything from elsewhere."""
        from shaftcheck.show.sheet import sheet

        return sheet(self.answer)

    def _repr_html_(self) -> str:
        from shaftcheck.show.notebook import answered

        return answered(self.answer)

    def _repr_svg_(self) -> str:
        from shaftcheck.show.draw import draw

        return draw(self.answer, "svg").decode("utf-8")


def check(shaft: Mapping[str, Any] | str | Path, *, name: str = "shaft") -> Result:
    """Check a shaft.

    Parameters
    ----------
    shaft : the tables of a shaft file as a mapping, sizes as texts or pint quantities; or the path of a shaft file
    name : what to call a mapping in messages

    Raises
    ------
    InputError
        with every fault of the input at once; where a file can't be read, or is none, with that.
    """
    called, doc = tables(shaft, name)
    return Result(answer_doc(doc, called))
