"""Sizes as the trade writes them, read to plain SI numbers.

The number has its own grammar and is read exactly; only the unit goes to the registry. What could be read in two ways
is refused, with what to write instead: a size read wrongly is worse than one not read.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from typing import Any, Literal, get_args

from shaftcheck.border.shown import decimal, mixed
from shaftcheck.border.units import DIMENSIONS, exact, is_quantity, spell, strip, worth
from shaftcheck.frozen import frozen

__all__ = ["Kind", "SizeError", "Told", "known", "read", "read_slope"]

Kind = Literal["told", "measured", "from the table", "assumed", "unknown"]


class SizeError(ValueError):
    """Raised when a size cannot be read; `wrong` and `write` are the two clauses of its message."""

    def __init__(self, wrong: str, write: str) -> None:
        self.wrong, self.write = wrong, write
        super().__init__(wrong, write)

    def __str__(self) -> str:
        return f"{self.wrong}; {self.write}"


class _RefusedError(Exception):
    """What is wrong, and texts that may have been meant: only those that can be read are shown."""

    def __init__(self, wrong: str, *tries: str) -> None:
        self.wrong, self.tries = wrong, tries
        super().__init__(wrong)


_ALIKE = str.maketrans(
    {"\u00a0": " ", "\u202f": " ", "\u2009": " ", "\u2007": " ", "\t": " ", "′": "'", "’": "'", "″": '"', "”": '"'}
    | {"−": "-", "‐": "-", "‑": "-", "⁄": "/", "²": "^2", "³": "^3", "⁴": "^4"}
)
_VULGAR = {"½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5"} | {
    "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"
}  # fmt: skip
_EXAMPLES: dict[str, tuple[str, ...]] = {
    "m": ("47.5 mm", "1 7/8 in"),
    "m^2": ("0.066 m^2", "102 sq in"),
    "N": ("700 N", "155 lb"),
    "kg": ("2.5 kg", "5 lb 8 oz"),
    "m/s": ("2 m/s", "4 knots"),
    "Pa": ("65 MPa", "9400 psi"),
    "kg/m^3": ("420 kg/m^3", "26 lb/ft^3"),
    "N*m": ("400 N m", "295 lb ft"),
    "N/m": ("5 N/mm", "28 lb/in"),
    "rad": ("12 deg",),
    "s": ("2 s",),
    "": ("12 %", "3:2"),
}
_BARE = {
    "m": ("mm", "cm", "m", "in", "ft"),
    "m^2": ("m^2", "sq in"),
    "N": ("N", "kg", "lb"),
    "kg": ("kg", "lb"),
    "m/s": ("m/s", "knots"),
    "Pa": ("MPa", "psi"),
    "kg/m^3": ("kg/m^3", "lb/ft^3"),
    "N*m": ("N m", "lb ft"),
    "N/m": ("N/mm", "lb/in"),
    "": ("%", ":1"),
}
"""Units to offer for a number that has none."""
_SMALLER = {"cm": ("mm",), "m": ("mm", "cm"), "ft": ("in",)}
"""units that are offered alone, where the same number may be in these too"""
_WORDS = {
    "m": ("inch", "inches", "foot", "feet", "metre", "meter"),
    "N": ("kg", "lb", "lbs", "newton", "pounds"),
    "kg": ("kilo", "lbs", "pound", "pounds", "ounce", "ounces"),
    "N*m": ("lb ft", "lb in", "kg m"),
    "rad": ("degree", "degrees"),
    "": ("percent",),
}
"""Further writings to offer for a unit that is not read."""
_PARTED = {"ft": ("in", 12), "lb": ("oz", 16)}
_FRACTIONS = {"in", "ft", "yd", "lb", "oz"}
_COARSE = {"mm": 1, "N": 3, "MPa": 2, "N/mm^2": 2, "psi": 3}
"""Units never written to the thousandth: with so many digits or fewer before it, `2.370 mm` may mean 2370 mm."""
_PART = re.compile(
    r"(?P<number>[0-9.,](?:[0-9.,/]| *[-–/] *(?=[0-9])| +(?=[0-9.,]))*)?"
    r"(?P<unit>(?:\^[0-9]|(?<=[A-Za-z])[234](?= *(?:/|$))|[.,](?![0-9])|[^0-9.,])*)"
)
_DIGITS, _LONG = 15, 60
"""figures of a number, and letters of a size, at most"""


def read(
    text: Any,
    to: str,
    *,
    allow_negative: bool = False,
    bounds: tuple[float, float] = (-math.inf, math.inf),
    example: str = "",
) -> float:
    """Return a size in the SI unit `to` ('m', 'N', 'kg', 'm^2', 'm/s', 'Pa', 'kg/m^3', 'N m', 'rad', 's', '').

    Where a force is wanted, kilograms, pounds and ounces are read as the weight of that mass in standard gravity.
    A quantity of any pint registry is taken as well. Zero is read: whether it makes sense, the caller knows.

    Parameters
    ----------
    bounds : between which it will have to lie [SI]; nothing else is offered where it can't be read
    example : what to offer where nothing else can be

    Raises
    ------
    SizeError
        if the text is not one size of that dimension, or could be read in two ways.

    Examples
    --------
    >>> read("9 ft 2 1/2 in", "m"), read("47,5 mm", "m"), read("102 sq in", "m^2")
    (2.8067, 0.0475, 0.06580632)
    >>> read("1,200 mm", "m")
    Traceback (most recent call last):
    shaftcheck.border.sizes.SizeError: '1,200' can be read in two ways; write 1200 mm or 1.2 mm
    >>> read("9", "m", bounds=(0.5, 8.0))
    Traceback (most recent call last):
    shaftcheck.border.sizes.SizeError: '9' has no unit; write 9 ft
    """
    if is_quantity(text):
        return _quantity(text, to, allow_negative)
    try:
        size = _size(_plain(str(text)), spell(to), allow_negative)
        wrong = write = ""
    except _RefusedError as e:
        wrong, write = e.wrong, _write(e.tries, spell(to), bounds, example)
    if not isinstance(text, str):
        raise SizeError(f"'{_short(str(text))}' has no unit", f"{write}, as text in quotes")
    if wrong:
        raise SizeError(wrong, write)
    return float(size)


def _quantity(value: Any, to: str, allow_negative: bool) -> float:
    given, example = _short(str(value)), f"write {_what(spell(to))} such as {_examples(spell(to))}"
    try:
        number = strip(value, to)
    except ValueError:
        raise SizeError(f"'{given}' is not {_what(spell(to))}", example) from None
    if not math.isfinite(number):
        raise SizeError(f"'{given}' is not a finite number", example)
    if number < 0 and not allow_negative:
        raise SizeError(f"'{given}' is negative", "write it without the sign")
    return number


def _plain(text: str) -> str:
    """Return a text with look-alike signs made one, fractions spelled, and single spaces."""
    text = re.sub(f"(?<=[0-9])-(?=[{''.join(_VULGAR)}])", " ", text.translate(_ALIKE))
    text = "".join(f" {_VULGAR[c]} " if c in _VULGAR else c for c in text).replace("''", '"')
    return re.sub(" +", " ", re.sub(r"(?<=')-(?=[0-9])", " ", text)).strip(" ")


def _short(text: str) -> str:
    """Return what was given on one line, for a message."""
    line = "".join(c if c.isprintable() else " " for c in text)
    return line if len(line) <= 40 else line[:37] + "..."


def _article(noun: str) -> str:
    return f"{'an' if noun[0] in 'aeiou' else 'a'} {noun}"


def _what(to: str) -> str:
    return _article(DIMENSIONS[to][0] if to in DIMENSIONS else f"size in {to}")


def _examples(to: str) -> str:
    return " or ".join(_EXAMPLES.get(to) or [f"2.5 {unit}" for unit in _bare(to)])


def _write(tries: Sequence[str], to: str, bounds: tuple[float, float], example: str) -> str:
    """Return what to write: of the texts that may have been meant those that can be read and fit, or an example."""
    good: list[str] = []
    for t in dict.fromkeys(tries):
        if _readable(t, to, bounds) and not any(
            g.endswith(f" {u}") for g in good for u in _SMALLER.get(t.split()[-1], ())
        ):
            good.append(t)
    if good := good[:3]:
        return f"write {' or '.join([', '.join(good[:-1]), good[-1]] if good[1:] else good)}"
    return f"write {_what(to)} such as {example or _examples(to)}"


def _readable(text: str, to: str, bounds: tuple[float, float] = (-math.inf, math.inf)) -> bool:
    try:
        size = _size(text, to, allow_negative=False)
    except _RefusedError:
        return False
    return len(text) <= 40 and bounds[0] <= float(size) <= bounds[1]


def _size(text: str, to: str, allow_negative: bool) -> Fraction:
    if not text:
        raise _RefusedError("nothing is written")
    if len(text) > _LONG:
        raise _RefusedError(f"'{_short(text)}' is too long for one size")
    sign = re.match("[-+]", text)
    if sign and not allow_negative:
        wrong = "is negative" if sign[0] == "-" else "has a sign"
        raise _RefusedError(f"'{_short(text)}' {wrong}", text[1:].strip(" "))
    value = _unsigned(text[1:].strip(" ") if sign else text, to)
    return -value if sign and sign[0] == "-" else value


def _unsigned(text: str, to: str) -> Fraction:
    if to == "" and (ratio := re.fullmatch("([^:]+):([^:]+)", text)):
        return _ratio(text, ratio[1].strip(" "), ratio[2].strip(" "))
    if m := re.search(r"(?<![0-9.,])[0-9]+(?:\.[0-9]+)?[eE][-+]?[0-9]{1,2}(?![0-9])", text):
        raise _RefusedError(f"'{_short(m[0])}' is written with an exponent", *_swapped(m, 0, [decimal(m[0])], to))
    if re.search("[0-9]'[0-9]{3}(?![0-9])", text):
        raise _RefusedError(f"'{_short(text)}' has a mark between thousands", text.replace("'", ""))
    if re.search(r"[0-9].*(?:±|×|\b(?:to|or|and|x)\b)", text):
        raise _RefusedError(f"'{_short(text)}' is not one size alone")
    found = [m for m in _PART.finditer(text) if m[0]]
    if not any(m["number"] for m in found):
        raise _RefusedError(f"'{_short(text)}' has no number")
    if not found[0]["number"]:
        raise _RefusedError(f"'{_short(text)}' does not begin with its number", text[found[0].end() :])
    parts = [_part(m, to) for m in found]
    if len(parts) == 1:
        value, unit = parts[0]
        return value * _factor(text, unit, to)
    return _compound(text, parts, to)


def _part(m: re.Match[str], to: str) -> tuple[Fraction, str]:
    """Return the value and the symbol of one number with its unit."""
    number, unit = m["number"], m["unit"].strip(" ")
    try:
        value = _number(number)
    except _RefusedError as e:
        raise _RefusedError(e.wrong, *_swapped(m, "number", e.tries, to)) from None
    if not unit:
        parts = [decimal(value * 100)] if to == "" and value < 1 else []  # 0.14 of the whole may be 14 %
        raise _RefusedError(f"'{number}' has no unit", *_swapped(m, "number", [number, *parts], to))
    try:
        symbol = spell(unit)
    except LookupError:
        near = [f" {n} " for n in _near(unit, to)]
        raise _RefusedError(f"'{_short(unit)}' is not a unit that is read", *_swapped(m, "unit", near, to)) from None
    if "/" in number and symbol not in _FRACTIONS:
        raise _RefusedError(f"a fraction of '{_short(unit)}' is not read", *_swapped(m, "number", [decimal(value)], to))
    head, dot, tail = number.partition(".")
    if dot and len(tail) == 3 and head != "0" and len(head) <= _COARSE.get(symbol, 0):
        tries = [head + tail, number + "0" if tail[-1] != "0" else decimal(value)]
        raise _RefusedError(f"'{number}' can be read in two ways", *_swapped(m, "number", tries, to))
    return value, symbol


def _swapped(m: re.Match[str], group: int | str, tries: Sequence[str], to: str) -> Iterator[str]:
    """Return the whole text with one group of a match written otherwise, and a unit where there is none."""
    before, after = m.string[: m.start(group)], m.string[m.end(group) :]
    ends = [after] if after.strip(" ") or group == "unit" else [f" {u}" for u in _bare(to, str(m[group]))]
    ends = ['"'] if "'" in before and not after else ends
    for end in ends:
        for t in tries:
            yield re.sub(" +", " ", f"{before}{t}{end}").replace(" :", ":").strip(" ")


def _bare(to: str, number: str = "") -> tuple[str, ...]:
    """Return units to offer for a number that has none; metres first for a length with decimals."""
    if to == "m" and "." in number:
        return ("m", "mm", "cm", "in", "ft")
    return _BARE.get(to) or (DIMENSIONS[to][1][:1] if to in DIMENSIONS else (to,))


def _near(unit: str, to: str) -> list[str]:
    """Return units of the wanted dimension that are written much like one that is not read.

    Only those that begin with the same letter: a slip of the pen seldom takes the first, and `stone` is no `ounce`.
    """
    import difflib

    names = [*(DIMENSIONS[to][1] if to in DIMENSIONS else (to,)), *_WORDS.get(to, ())]
    alike = [n for n in names if n[:1].lower() == unit[:1].lower()]
    near = [n for n in alike if n.lower() == unit.lower()] or difflib.get_close_matches(unit, alike, n=4, cutoff=0.5)
    return list({spell(n): n for n in reversed(near)}.values())[::-1][:2]


def _number(text: str) -> Fraction:
    """Return the value of a number: whole, decimal, fraction, or whole with fraction."""
    if len(re.sub("[^0-9]", "", text)) > _DIGITS:
        raise _RefusedError(f"'{_short(text)}' has more than {_DIGITS} digits")
    whole = "(0|[1-9][0-9]*)"
    if re.fullmatch(whole + r"(?:\.[0-9]+)?", text):
        return Fraction(text)
    if m := re.fullmatch(whole + ",([0-9]+)", text):
        if len(m[2]) == 3 and m[1] != "0":
            pointed = decimal(Fraction(f"{m[1]}.{m[2]}"))
            raise _RefusedError(f"'{text}' can be read in two ways", m[1] + m[2], pointed)
        return Fraction(f"{m[1]}.{m[2]}")
    if m := re.fullmatch(f"(?:{whole}[ -])?([1-9][0-9]*)/([1-9][0-9]*)", text):
        part = Fraction(int(m[2]), int(m[3]))
        if part < 1:
            return int(m[1] or 0) + part
        total = int(m[1] or 0) + part
        better = f"{total.numerator // total.denominator} {total % 1}" if total % 1 else str(total)
        raise _RefusedError(f"the fraction in '{text}' is not less than one", better)
    raise _why(text)


def _why(text: str) -> _RefusedError:
    """Return what is wrong with a number that is not read."""
    if m := re.fullmatch(r"([0-9]{1,3}(?:([ .,])[0-9]{3})(?:\2[0-9]{3})*)(?:[.,]([0-9]+))?", text):
        joined = re.sub("[ .,]", "", m[1]) + (f".{m[3]}" if m[3] else "")
        how = "has a space in it" if m[2] == " " else "has a mark between thousands"
        return _RefusedError(f"'{text}' {how}", joined)
    if re.fullmatch("[0-9]*[.,][0-9]*", text):
        repaired = re.sub(r"^(?=\.)", "0", text.strip(",").replace(",", ".")).rstrip(".")
        return _RefusedError(f"'{text}' is not a whole number with its decimals", re.sub("^0+(?=[0-9])", "", repaired))
    if re.fullmatch("0[0-9]+", text):
        return _RefusedError(f"'{text}' begins with a nought", text.lstrip("0") or "0", f"0.{text.lstrip('0')}")
    if re.search("/ ?0+(?![0-9])", text):
        return _RefusedError(f"'{text}' divides by nought")
    if text[0] in "-+":
        return _RefusedError(f"'{_short(text)}' has a sign")
    if text.count("/") > 1:
        return _RefusedError(f"'{_short(text)}' is not one fraction")
    if re.search("[0-9] ?[-–] ?[0-9]", text):
        return _RefusedError(f"'{_short(text)}' is more than one number", re.sub(" ?[-–] ?", "-", text))
    return _RefusedError(f"'{_short(text)}' is not one number")


def _ratio(text: str, first: str, second: str) -> Fraction:
    a, b = _number(first), _number(second)
    if a == 0 or b == 0:
        raise _RefusedError(f"'{_short(text)}' has a nought in it")
    return a / b


def _factor(text: str, unit: str, to: str) -> Fraction:
    """Return how many `to` one unit is; masses are taken as weights where that is what fits."""
    try:
        return worth(unit, to)
    except ValueError:
        kinds = [what for way in (exact, worth) for si, (what, _) in DIMENSIONS.items() if _fits(unit, si, way)]
        is_a = f"is {_article(kinds[0])}" if kinds else f"is in '{unit}'"
        near = (f"{text.removesuffix(unit)}{n}" for n in _near(unit, to) if n.lower() == unit.lower())
        raise _RefusedError(f"'{_short(text)}' {is_a}, not {_what(to)}", *near) from None


def _fits(unit: str, to: str, way: Callable[[str, str], Fraction] = exact) -> bool:
    try:
        way(unit, to)
    except ValueError:
        return False
    return True


def _compound(text: str, parts: Sequence[tuple[Fraction, str]], to: str) -> Fraction:
    """Return feet and inches, or pounds and ounces, as one size."""
    (first, big), (second, small) = parts[:2]
    if len(parts) != 2 or _PARTED.get(big, ("", 0))[0] != small:
        total: tuple[str, ...] = ()
        if all(_fits(unit, to) for _, unit in parts):
            total = (f"{decimal(sum((v * exact(u, to) for v, u in parts), Fraction(0)) / exact(big, to))} {big}",)
        raise _RefusedError(f"'{_short(text)}' mixes units", *total)
    limit = _PARTED[big][1]
    if first.denominator != 1 or second >= limit:
        whole, rest = divmod(first * limit + second, limit)
        wrong = f"is not whole in its {big}" if first.denominator != 1 else f"has {limit} {small} or more"
        raise _RefusedError(f"'{_short(text)}' {wrong}", f"{whole} {big} {mixed(rest)} {small}")
    return (first * limit + second) * _factor(text, small, to)


def read_slope(text: str) -> float:
    """Return a slope, rise over run [-]; 'straight' is 0.

    Read are `1:12`, `1 in 15`, `15 mm in 300 mm`, `5/8 in over 12 in`. Twelve to one is refused: the rise stands first.

    Raises
    ------
    SizeError
        if the text is not one slope, or rises more than it runs.

    Examples
    --------
    >>> read_slope("1 in 15") == 1 / 15, read_slope("3 mm over 45 mm") == 1 / 15, read_slope("straight")
    (True, True, 0.0)
    >>> read_slope("12:1")
    Traceback (most recent call last):
    shaftcheck.border.sizes.SizeError: '12:1' rises more than it runs; write 1:12
    """
    if not isinstance(text, str):
        raise SizeError(f"'{_short(str(text))}' is not a slope", "write a text such as 1:12")
    plain = _plain(text)
    if plain.lower() == "straight":
        return 0.0
    if part := re.fullmatch(r"([1-9][0-9]?(?:\.[0-9]+)?) ?%", plain):
        raise SizeError(f"'{_short(text)}' is a part in per cent", f"write 1:{decimal(100 / Fraction(part[1]))}")
    try:
        found = list(_slopes(plain)) if len(plain) <= _LONG else []
    except _RefusedError as e:
        raise SizeError(e.wrong, "write a slope such as 1:12, 1 in 12 or 15 mm in 300 mm") from None
    if len(found) != 1:
        raise SizeError(f"'{_short(text)}' is not a slope", "write a slope such as 1:12, 1 in 12 or 15 mm in 300 mm")
    rise, run, again = found[0]
    if run == 0:
        raise SizeError(f"'{_short(text)}' has no run", "write a slope such as 1:12")
    if rise == 0:
        raise SizeError(f"'{_short(text)}' has no rise", "write straight")
    if rise > run:
        raise SizeError(f"'{_short(text)}' rises more than it runs", f"write {again}")
    return float(rise / run)


def _slopes(text: str) -> Iterator[tuple[Fraction, Fraction, str]]:
    """Return every way to read a slope as rise, run, and the text of it turned over."""
    if m := re.fullmatch(r"([^:]+):([^:]+)|([0-9.,]+) in ([0-9.,]+)", text):
        a, b = ((m[1] or m[3]).strip(" "), (m[2] or m[4]).strip(" "))
        yield _number(a), _number(b), f"{b}:{a}"
        return
    for m in re.finditer(" (?:in|over)(?= )", text):
        a, word, b = text[: m.start()], m[0], text[m.end() + 1 :]
        if _readable(a, "m") and _readable(b, "m"):
            yield _size(a, "m", False), _size(b, "m", False), f"{b}{word} {a}"


# How a value is known -----------------------------------------------------------------------------------------------

_KINDS = tuple(k for k in get_args(Kind) if k != "unknown")


@frozen(eq=True)
class Told:
    """A value as it is written, and how it is known."""

    kind: Kind
    text: str = ""
    """the value; empty where it is not known"""
    low_text: str = ""
    high_text: str = ""
    """the ends of the range that an unknown value lies in, where one is given"""
    choices: tuple[str, ...] = ()
    """the things that an unknown value may be, where they are given"""


def known(text: str, *, example: str = "47 mm", choices: tuple[str, ...] = ()) -> Told:
    """Split a value from how it is known.

    Parameters
    ----------
    example, choices : a value of that kind, and all that it may be, to say what to write

    Raises
    ------
    SizeError
        if the words in brackets are not one of those that are read.

    Examples
    --------
    >>> known("47 mm (measured)")
    Told(kind='measured', text='47 mm', low_text='', high_text='', choices=())
    >>> told = known("unknown (28 mm to 34 mm)")
    >>> told.kind, told.low_text, told.high_text
    ('unknown', '28 mm', '34 mm')
    >>> known("unknown (oiled, varnished)").choices
    ('oiled', 'varnished')
    """
    if not isinstance(text, str):
        raise SizeError(f"'{_short(str(text))}' is not a text", f'write a text such as "{example} (measured)"')
    line = " ".join(text.split())
    m = re.fullmatch(r"([^()]*)(?:\(([^()]*)\))?", line)
    if not m:
        raise SizeError(f"the brackets in '{_short(line)}' are not one pair at the end", f"write {example} (measured)")
    value, word = m[1].strip(), m[2]
    if value.lower() == "unknown":
        return _unknown(line, word, example, choices)
    if value.lower().startswith("unknown "):
        raise SizeError(f"'{_short(line)}' is both unknown and told", _as_unknown(example, choices))
    if not value:
        raise SizeError(f"'{_short(line)}' has no value", f"write {example} (measured), or unknown")
    if word is None:
        return Told(kind="told", text=value)
    for kind in _KINDS:
        if word.strip().lower() == kind:
            return Told(kind=kind, text=value)
    allowed = ", ".join(f"({kind})" for kind in _KINDS)
    raise SizeError(f"'({_short(word)})' is not a way to know a value", f"write one of {allowed}, or nothing")


def _as_unknown(example: str, choices: tuple[str, ...]) -> str:
    """Return how to write that something is unknown."""
    what = ", ".join(choices[:2]) if choices else f"{example} to ..."
    return f"write unknown, or unknown ({what})"


def _unknown(line: str, inside: str | None, example: str, may: tuple[str, ...]) -> Told:
    if inside is None:
        return Told(kind="unknown")
    ends = [part.strip() for part in inside.split(" to ")]
    if len(ends) == 2 and all(ends) and ", " not in inside:
        return Told(kind="unknown", low_text=ends[0], high_text=ends[1])
    choices = tuple(part.strip() for part in inside.split(", "))
    if len(ends) == 1 and len(choices) > 1 and all(choices) and len(set(choices)) == len(choices):
        return Told(kind="unknown", choices=choices)
    write = _as_unknown(example, may)
    if dash := re.fullmatch("([^-–—]+) ?[-–—] ?([^-–—]+)", inside):
        write = f"write unknown ({dash[1].strip()} to {dash[2].strip()})"
    raise SizeError(f"'{_short(line)}' gives neither a range nor choices", write)
