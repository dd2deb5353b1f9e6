"""How sure? The chance that a shaft falls short, with what varies and by how much."""

from __future__ import annotations

import math

import numpy as np

from shaftcheck.border.shown import say
from shaftcheck.key import Key
from shaftcheck.loads import loaded
from shaftcheck.model import Hinged, number
from shaftcheck.questions.question import Asked, Finding, Picture, Question, Table, numbers, ready
from shaftcheck.said import percent
from shaftcheck.studies.chance import Chance, chance, phi
from shaftcheck.studies.expected import FRICTION_WORDS

__all__ = ["QUESTION", "odds"]

LEAST = 1e-4
"""chances below this are not printed as figures: the tails of the scatter are not known so far out (judgement)"""


def odds(p: float) -> str:
    """Return a chance in words: never as a figure below 1 in 10 000."""
    if math.isnan(p):
        return "not known"
    if p < LEAST:
        return "less than 1 in 10 000"
    if p > 0.5:
        return f"{p * 100.0:.0f} in 100"
    digits = 2 if p >= 0.01 else 4 if p < 0.001 else 3
    return f"{round(p * 10**digits):d} in {10**digits:,}".replace(",", " ")


def _ask(asked: Asked) -> Finding:
    reading, built, _ = ready(asked)
    system = asked.system or reading.system
    c = chance(
        loaded(built.shaft, number(1.0)),
        load_scatter=float(asked.options["load_scatter"]),
        model_scatter=float(asked.options["method_scatter"]),
        draws=int(float(asked.options["draws"])),
        series=int(float(asked.options["series"])),
        tick=asked.tick,
    )
    rows = tuple(
        (name, kind, f"{b:.1f}" if math.isfinite(b) else "without limit", odds(float(phi(np.asarray(-b)))))
        for name, kind, b in zip(c.checks, c.kinds, c.index, strict=True)
    )
    drives = tuple((d.name, percent(d.share)) for d in c.drives)
    return Finding(
        question="how-sure",
        title=reading.title or reading.name,
        sentence=_sentence(c),
        answered=not c.unknown and not c.fixed,
        system=system,
        tables=(
            Table(
                title="Each check alone, likeliest first",
                heads=("check", "what happens", "reliability index", "chance"),
                rows=rows,
                numeric=(2, 3),
            ),
            Table(
                title=f"What drives it: shares of the doubt about {c.checks[0] if c.checks else 'nothing'}",
                heads=("what varies", "share"),
                rows=drives,
                numeric=(1,),
            ),
        ),
        pictures=(
            Picture(
                title="How far each check is from falling short",
                says="Bars of the reliability index of each check, the nearest to falling short first: "
                + ", ".join(f"{name} {b:.1f}" for name, b in zip(c.checks[:3], c.index[:3], strict=True))
                + ".",
                x_label="reliability index (standard deviations to falling short; longer is surer)",
                y_label="",
                bars=tuple((n, float(b)) for n, b in zip(c.checks, c.index, strict=True) if math.isfinite(b)),
            ),
            Picture(
                title="What the doubt comes from",
                says="Bars of what varies, by its share of the doubt: "
                + ", ".join(f"{d.name} {percent(d.share)}" for d in c.drives[:3])
                + ".",
                x_label="share of the doubt about the likeliest check, %",
                y_label="",
                bars=tuple((d.name, d.share * 100.0) for d in c.drives),
            ),
        ),
        data={
            "checks": [
                {"check": n, "what_happens": k, "reliability_index": numbers(float(b), "")}
                for n, k, b in zip(c.checks, c.kinds, c.index, strict=True)
            ],
            "chance_at_least": _chance(c.at_least),
            "chance_at_most": _chance(c.at_most),
            "chance_sampled": _chance(c.sampled),
            "standard_error": numbers(c.error, ""),
            "draws": c.draws,
            "series": c.series,
            "drives": [{"what": d.name, "share": numbers(d.share, "")} for d in c.drives],
            "not_known": list(c.unknown),
            "not_kept": list(c.fixed),
        },
        searched=(
            "every check under every load that the shaft must hold, at once; not in it: knots, damage, bad glue, "
            "errors of the file, and whatever the check calls outside the method",
        ),
        assumptions=(
            *(say(s, system) for s in built.assumptions),
            f"loads vary by {percent(float(asked.options['load_scatter']), digits=4)} and the method errs by "
            f"{percent(float(asked.options['method_scatter']), digits=4)} (coefficients of variation, lognormal, about "
            "the loads of the file and about no error; judgement)",
            "strengths are lognormal about the table's means with published scatter (Wood Handbook Table 5-6; some "
            "from memory), one draw for a board and property at all its places; properties of a board vary "
            "independently (judgement; the bounds do not need it)",
            "lasting and repeated load, moisture, the grain's mean effect and a joint's own factors are as in the "
            "check; no safety is in the strengths; tubes and pins do not vary",
            *((FRICTION_WORDS,) if isinstance(built.shaft.rig, Hinged) else ()),
        ),
        cautions=("A chance is no permission. It is of shafts as described, made without fault; work to the check.",),
    )


def _chance(p: float) -> dict[str, object]:
    """Return a chance for programs; what is below 1 in 10 000 is told as that alone."""
    return {"less_than": LEAST} if p < LEAST else numbers(p, "")


def _sentence(c: Chance) -> str:
    if c.fixed:
        return f"It falls short for certain, whatever the wood: {', '.join(c.fixed)}."
    low, high, middle = odds(c.at_least), odds(c.at_most), odds(c.sampled)
    bounds = low if low == high else f"at most {high}" if c.at_least < LEAST else f"between {low} and {high}"
    error = f", standard error {odds(c.error)}" if c.sampled >= LEAST and c.error >= LEAST else ""
    first, driver = (c.checks or ("",))[0], (c.drives[0].name if c.drives else "nothing")
    said = (
        f"Of such shafts, made without fault, {bounds} would fall short under these loads. The likeliest way is "
        f"{first}; what drives it most is {driver}. That is to first order; {c.draws} draws, series {c.series}, give "
        f"{middle}{error}."
    )
    if c.unknown:
        said += f" Not known, so not in it: {', '.join(c.unknown)}."
    return said


QUESTION = Question(
    asks="how sure is it: what is the chance that the shaft falls short?",
    ask=_ask,
    finds=False,
    changed=True,
    examples=("how-sure my-oar.toml", "how-sure my-oar.toml --draws 20000 --series 7", "how-sure my-oar.toml --json"),
    options={
        "load_scatter": Key(
            kind="ratio", help="coefficient of variation of the loads", example="0.15", assume="0.15", high=0.5
        ),
        "method_scatter": Key(
            kind="ratio", help="coefficient of variation of the method's error", example="0.10", assume="0.10", high=0.5
        ),
        "draws": Key(
            kind="count", help="how many strengths are drawn", example="4000", assume="4000", low=100, high=1e6
        ),
        "series": Key(
            kind="count",
            help="which series of random draws: the same number draws the same again",
            example="1",
            assume="1",
            high=1e9,
        ),
    },
)
