"""Will this oar shaft hold, where does it fall short first, and what would you change?

Examples
--------
>>> import shaftcheck
>>> u = shaftcheck.units()
>>> oar = {
...     "oar": {"length": 2.4 * u.m, "inside": "solid", "blade_length": 0.55 * u.m, "blade_width": 130 * u.mm},
...     "rig": {"kind": "lock", "hand": 70 * u.mm, "lock": 0.68 * u.m},
...     "rower": {"strength": "light", "hands": "one"},
...     "duty": {"levering": "never", "boat_speed": 1.5 * u.m / u.s},
...     "section": [
...         {"at": 0 * u.mm, "across": 38 * u.mm},
...         {"at": 250 * u.mm, "across": 52 * u.mm},
...         {"at": 950 * u.mm, "across": 52 * u.mm},
...         {"at": 1.85 * u.m, "fore_and_aft": 38 * u.mm, "up_and_down": 34 * u.mm},
...     ],
...     "wood": [{"of": "Sitka spruce (US)", "runout": "1:20"}],
... }
>>> result = shaftcheck.check(oar)
>>> result.state
'HOLDS'
>>> result.pull("once").to("lbf").magnitude > 150
True
>>> result.weight.check("[mass]")
True
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from shaftcheck.api import Result, check
    from shaftcheck.asking import ask
    from shaftcheck.border.units import units
    from shaftcheck.errors import DataError, InputError, NotFoundError, ShaftcheckError

__all__ = ["DataError", "InputError", "NotFoundError", "Result", "ShaftcheckError", "ask", "check", "units"]

_HOME = {
    "Result": "api",
    "check": "api",
    "ask": "asking",
    "units": "border.units",
    "DataError": "errors",
    "InputError": "errors",
    "NotFoundError": "errors",
    "ShaftcheckError": "errors",
}


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'shaftcheck' has no attribute '{name}'")
    from importlib import import_module

    return getattr(import_module(f"shaftcheck.{_HOME[name]}"), name)


def __dir__() -> list[str]:
    return sorted(__all__)
