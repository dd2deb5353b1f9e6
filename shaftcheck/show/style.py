"""The look of every figure: colours, hatches, letters, how labels keep clear of each other, and how a figure is saved.

Colours are those of Okabe & Ito, Color Universal Design (2008), told apart by any eye, and tints of them. No meaning
rests on a colour alone: woods differ by hatch and name, cases by line and label, what is over its limit by words.
Each colour has one hexadecimal name that nothing else uses, so that a sheet can put its dark value in its place.
"""

from __future__ import annotations

import io
import math
import re
import warnings
from collections.abc import Sequence
from functools import cache
from typing import TYPE_CHECKING, Any, Literal
from xml.sax.saxutils import escape

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = [
    "COLOURS",
    "FAMILY",
    "FORMATS",
    "GAP",
    "HATCHES",
    "INKS",
    "LARGE",
    "LEFT",
    "LINE",
    "PLAIN",
    "RIGHT",
    "SMALL",
    "WIDTH",
    "WOODS",
    "Format",
    "clean",
    "css",
    "encode",
    "figure",
    "inline",
    "letters",
    "measure",
    "spread",
    "write",
]

WIDTH, LEFT, RIGHT = 7.2, 0.62, 0.3
"""of a figure and its margins left and right of what is drawn along the shaft [in]; all figures share them"""
GAP = 0.09
"""between two labels [in]"""
FAMILY = "DejaVu Sans"
Format = Literal["svg", "png", "pdf"]
FORMATS: tuple[Format, ...] = ("svg", "png", "pdf")

COLOURS: dict[str, tuple[str, str]] = {
    "ink": ("#1b1d1f", "#efede8"),
    "soft": ("#5a5e62", "#b4b3ae"),
    "rule": ("#c9c7c1", "#4a4e51"),
    "paper": ("#fffefb", "#16191b"),
    "blade": ("#ebe9e3", "#2b3033"),
    "metal": ("#b9bec2", "#6f777c"),
    "wood-1": ("#f7dfa5", "#6b4d0a"),
    "wood-2": ("#c6e5f8", "#17506f"),
    "wood-3": ("#c3e8da", "#0f5741"),
    "wood-4": ("#f2d3e4", "#6d3456"),
    "grain-1": ("#b8801a", "#d9a94a"),
    "grain-2": ("#3a87b5", "#6db6e0"),
    "grain-3": ("#2f8a6d", "#5cc2a2"),
    "grain-4": ("#b06a92", "#dc9cc0"),
    "mark": ("#c44e00", "#ff9147"),
    "line": ("#0069ac", "#62b8f0"),
    "limit": ("#8a1c5b", "#f09bcb"),
    "other": ("#00805e", "#45cfa6"),
}
"""by name: on light paper and on dark; mark is for the weakest place and for nothing else"""
INKS = {name: light for name, (light, _) in COLOURS.items()}
SMALL, PLAIN, LARGE = 7.6, 8.4, 10.0
"""sizes of letters [pt]"""
LINE = 0.152
"""from line to line of small letters [in]"""
WOODS = 4
HATCHES = ("/////", "-----", "\\\\\\\\\\", "xxxx")
"""of the woods, in the order in which a shaft has them; after the fourth they begin again"""


_NO_GLYPH = "Glyph .* missing from font"


@cache
def _measured(text: str, size: float, bold: bool) -> tuple[float, float]:
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    font = FontProperties(family=FAMILY, size=size, weight="bold" if bold else "normal")
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", _NO_GLYPH)
        width, height, _ = text_to_path.get_text_width_height_descent(text, font, False)
    return width * 1.04 / 72.0, height / 72.0  # on a screen letters are set to whole pixels, and are wider


def measure(text: str, size: float, *, bold: bool = False) -> float:
    """Return how wide a text of one or more lines is [in]."""
    return max(_measured(line, size, bold)[0] for line in text.split("\n"))


def spread(at: Sequence[float], widths: Sequence[float], low: float, high: float) -> list[float]:
    """Return where labels stand so that none overlaps its neighbour and each is as near to its place as can be.

    Least squares under order, by pooling neighbours that would overlap (Robertson, Wright & Dykstra, Order Restricted
    Statistical Inference (1988), pool adjacent violators, from memory). Where all of them are wider than what there
    is, they run over at the end.

    Parameters
    ----------
    at : places that rise
    widths : of the labels, in the same measure
    low, high : what there is
    """
    offsets, total = [], 0.0
    for i, w in enumerate(widths):
        total += 0.0 if i == 0 else (widths[i - 1] + w) / 2.0
        offsets.append(total)
    pools: list[tuple[float, int]] = []
    for a, o in zip(at, offsets, strict=True):
        mean, count = a - o, 1
        while pools and pools[-1][0] > mean:
            before, n = pools.pop()
            mean, count = (mean * count + before * n) / (count + n), count + n
        pools.append((mean, count))
    if not offsets:
        return []
    left, right = low + widths[0] / 2.0, high - widths[-1] / 2.0 - offsets[-1]
    moved = [max(left, min(right, mean)) for mean, n in pools for _ in range(n)]
    return [m + o for m, o in zip(moved, offsets, strict=True)]


_UNREADABLE = re.compile("[^\\t\\n\\r\\x20-\\ud7ff\\ue000-\\ufffd\\U00010000-\\U0010ffff]")


def clean(text: str, *, width: float = math.inf, size: float = 8.0, bold: bool = False) -> str:
    """Return a text of a user's on one line, without what XML cannot hold, cut short where it is too wide [in]."""
    line = " ".join(_UNREADABLE.sub("\ufffd", text).split())
    if measure(line, size, bold=bold) <= width:
        return line
    low, high = 0, len(line)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if measure(line[:middle] + "…", size, bold=bold) <= width else (low, middle - 1)
    return line[:low] + "…"


def write(ax: Any, x: float, y: float, text: str, size: float, **look: Any) -> None:
    """Set a text of one or more lines as it is, never as a formula."""
    look = {"ha": "center", "va": "center", "linespacing": 1.1, "color": COLOURS["ink"][0]} | look
    ax.text(x, y, text, fontsize=size, fontfamily=FAMILY, parse_math=False, **look)


def letters(count: int) -> list[str]:
    """Return names by letter; without I and O, which are read as figures."""
    some = "ABCDEFGHJKLMNPQRSTUVWXYZ"
    return [some[i % 24] * (1 + i // 24) for i in range(count)]


def figure(height: float, *, width: float = WIDTH) -> tuple[Figure, Any]:
    """Return a new figure on paper of our colour, with axes over all of it in inches, y downward."""
    from matplotlib.figure import Figure

    fig = Figure(figsize=(width, height), facecolor=COLOURS["paper"][0])
    ax = fig.add_axes((0.0, 0.0, 1.0, 1.0))
    ax.set(xlim=(0.0, width), ylim=(height, 0.0))
    ax.set_axis_off()
    return fig, ax


def encode(fig: Figure, form: Format = "svg") -> bytes:
    """Return a figure as a file's content; the same figure gives the same bytes."""
    from matplotlib import rc_context

    out = io.BytesIO()
    none: dict[Format, dict[str, str | None]] = {
        "svg": {"Date": None, "Creator": None},
        "pdf": {"CreationDate": None, "Producer": None, "Creator": None},
        "png": {"Software": None},
    }
    letters: Any = {"svg.fonttype": "none", "svg.hashsalt": "shaftcheck", "pdf.fonttype": 42, "hatch.linewidth": 0.5}
    with rc_context(letters), warnings.catch_warnings():
        warnings.filterwarnings("ignore", _NO_GLYPH)  # a letter that the font lacks is a box
        fig.savefig(out, format=form, dpi=220, facecolor=fig.get_facecolor(), metadata=none[form])
    if form == "svg":
        return _letters(out.getvalue().decode("utf-8")).encode("utf-8")
    return out.getvalue()


def _letters(svg: str) -> str:
    """Return an SVG whose letters fall back on others of much the same width."""
    family = f"'{FAMILY}', Verdana, 'Bitstream Vera Sans', sans-serif"
    return re.sub(r"font-family: [^;\"]*", f"font-family: {family}", svg)


def inline(fig: Figure, key: str, title: str, says: str) -> str:
    """Return a figure as SVG to stand inside a page: its colours follow the page, its names are its own.

    Parameters
    ----------
    key : that no other figure of the page has
    title, says : what it is, and in words what it shows
    """
    svg = encode(fig).decode("utf-8")
    svg = svg[svg.index("<svg") :]
    svg = re.sub(r"\s*<metadata>.*?</metadata>", "", svg, flags=re.S)
    used = set(re.findall(r"(?:url\(#|href=\"#)([\w-]+)", svg))
    svg = re.sub(r' id="([\w-]+)"', lambda m: f' id="{key}-{m[1]}"' if m[1] in used else "", svg)
    svg = re.sub(r"(url\(#|href=\"#)(?=[\w-])", rf"\g<1>{key}-", svg)
    svg = svg.replace("*{stroke-linejoin: round; stroke-linecap: butt}", "")
    names = {light: name for name, (light, _) in COLOURS.items()}
    svg = re.sub(r"#[0-9a-f]{6}", lambda m: f"var(--{names[m[0]]})" if m[0] in names else m[0], svg)
    svg = re.sub(r"(?<=<path )d=\"[^\"]*\"", lambda m: m[0].replace("\n", ""), svg)
    head = re.compile(r"<svg [^>]*?(viewBox=\"[^\"]*\")[^>]*>")
    names_ = f'<title id="{key}-t">{escape(title)}</title><desc id="{key}-d">{escape(says)}</desc>'
    return head.sub(
        lambda m: (
            f'<svg xmlns:xlink="http://www.w3.org/1999/xlink" {m[1]} role="img" aria-labelledby="{key}-t {key}-d">'
            + names_
        ),
        svg,
        count=1,
    )


def css() -> tuple[str, str]:
    """Return the colours as custom properties, on light paper and on dark."""
    return tuple("".join(f"--{name}:{pair[i]};" for name, pair in COLOURS.items()) for i in (0, 1))  # type: ignore[return-value]
