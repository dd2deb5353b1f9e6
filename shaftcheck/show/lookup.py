"""What to write instead where no entry holds the words that were asked for."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from difflib import get_close_matches

from shaftcheck.errors import Fault, InputError

__all__ = ["not_found"]


def not_found(
    command: str, words: Sequence[str], texts: Sequence[str], holds: Callable[[str, str], bool], entry: str
) -> InputError:
    """Return the error of words that no entry holds: each word with those that are like it, or all of them together.

    Parameters
    ----------
    words : that were asked for
    texts : of all entries, in small letters
    holds : whether an entry, by its text, holds a word
    entry : what an entry is called
    """
    known = sorted({w for t in texts for w in re.findall(r"[^\W\d_]{3,}", t)})
    faults = []
    for word in words:
        if not any(holds(t, word) for t in texts):
            near = get_close_matches(word.casefold(), known, 3, 0.7)
            write = f"write {' or '.join(near)}" if near else "write another word, or none to see all of them"
            faults.append(Fault(word, f"no {entry} holds this word", write))
    together = Fault(" ".join(words), f"no {entry} holds all of these words", "leave one of them out")
    return InputError(command, faults or [together])
