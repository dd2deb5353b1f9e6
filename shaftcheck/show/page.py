"""The frame of every HTML page: one file, no network, no script; light, dark and on paper.

A page is a template beside `templates/page.html` that extends it and takes plain data. All text is escaped on its way
in; only figures and formulas, which are made here, come as markup. Sizes keep together: their spaces are no-break.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.metadata import version
from typing import TYPE_CHECKING, Any

from shaftcheck.show.kept import kept
from shaftcheck.show.style import css, inline

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup
    from matplotlib.figure import Figure

__all__ = ["Shown", "fragment", "render", "shown"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A figure in a page."""

    key: str
    title: str
    says: str
    """what it shows, for those who do not see it"""
    svg: Markup
    wide: bool
    """whether it needs its width to be read: on a small screen it scrolls in its own box"""


def shown(fig: Figure, key: str, title: str, says: str, *, wide: bool = True) -> Shown:
    """Return a figure ready for a page.

    Parameters
    ----------
    key : a name that no other figure of the page has
    """
    from markupsafe import Markup

    return Shown(key=key, title=title, says=says, svg=Markup(inline(fig, key, title, says)), wide=wide)


@cache
def _environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    return Environment(
        loader=PackageLoader("shaftcheck.show"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=lambda value: kept(value) if type(value) is str else value,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def render(template: str, **data: Any) -> str:
    """Return a page from its template; the same data gives the same text.

    Parameters
    ----------
    template : its name in the folder `templates`
    data : what the template asks for; a name that it asks for and is not given is an error
    """
    return fragment(template, version=version("shaftcheck"), **data)


def fragment(template: str, **data: Any) -> str:
    """Return a piece of HTML from its template, as `render` does."""
    from markupsafe import Markup

    light, dark = (Markup(colours) for colours in css())
    return _environment().get_template(template).render(light=light, dark=dark, **data)
