"""The commands, one file each; a new command is a new file and its line in `COMMANDS`.

A command's file has `EXAMPLES`, `arguments(parser)` and `run(args)`, which returns the exit code. It is imported when
its command is given, and imports what it works with when it runs: help and a wrong option are answered at once.
"""

from __future__ import annotations

__all__ = ["COMMANDS"]

COMMANDS: dict[str, str] = {
    "check": "check the shaft of each file",
    "draw": "draw the shaft to scale, diagrams along it, or a joint",
    "new": "write a starter file",
    "sheet": "write the shop sheet: one HTML file",
    "papers": "a measuring form, a cut card and templates at full size",
    "woods": "the woods and their values",
    "basis": "what every answer rests on: formulas, sources, ranges, tests",
}
"""what each command does, by its name; `shaftcheck check` is `shaftcheck/commands/check.py`"""
