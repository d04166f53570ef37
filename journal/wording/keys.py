"""The keys: what each of them means, once for the whole program, and how a key is written.

A key has one meaning in every place. A person can give a meaning another key, or switch off the
keys of a single letter or figure; whoever shows or hears a key asks here, so that all follow.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from journal.wording.key_uses import KEY_USES, PLACES_MOST, KeyUse
from journal.wording.languages import translated

GROUP = "keys"  # of the settings file: the key that was chosen by the name of its use
NO_KEY = "none"
_BY_NAME = {use.name: use for use in KEY_USES}
_NAMES = {
    "Return": "Enter", "Delete": "Del", "Escape": "Esc", "Insert": "Ins", "PgUp": "PgUp",
    "Left": "←", "Right": "→", "Up": "↑", "Down": "↓",
}  # fmt: skip
_MARK = re.compile(r"\{key:(\w+)\}")
# What moves about, writes or leaves everywhere: no key for anything else.
_KEPT = frozenset(
    ["Tab", "Shift+Tab", "Esc", "Return", "Enter", "Space", "Backspace", "Left", "Right", "Up",
     "Down", "Home", "End", "PgUp", "PgDown", "Shift+F10", "Ctrl+A", "Ctrl+C", "Ctrl+X", "Alt+F4",
     *(f"Alt+{letter}" for letter in "ACEFHMPTV")]  # they open the menus
)  # fmt: skip


class _KeysInUse:
    single = True
    changed: Mapping[str, str] = {}


def use_keys(changed: Mapping[str, str], *, single: bool = True) -> None:
    """Use these keys from now on, by the names of their uses ("" or `NO_KEY` for none), beside
    the usual ones of all others; those of a `single` letter or figure or not."""
    _KeysInUse.single = single
    _KeysInUse.changed = {name: key for name, key in changed.items() if name in _BY_NAME}


def is_key_use(name: str) -> bool:
    """There is a use of that name."""
    return name in _BY_NAME


def keys_of(name: str) -> tuple[str, ...]:
    """The keys that a use has now, as Qt names them; none where it has none."""
    use = _BY_NAME.get(name)
    if use is None:
        return ()
    found = keys_with(use, _KeysInUse.changed)
    return found if _KeysInUse.single else tuple(key for key in found if not is_single(key))


def keys_with(use: KeyUse, changed: Mapping[str, str]) -> tuple[str, ...]:
    """The keys of a use where these were changed: Enter of the figure keys with the other."""
    one = changed.get(use.name)
    keys = use.keys if one is None else (() if one in ("", NO_KEY) else (one,))
    return tuple(
        other for key in keys
        for other in ((key, key.replace("Return", "Enter")) if "Return" in key else (key,))
    )  # fmt: skip


def key_of(name: str) -> str:
    """The first key of a use as a person reads it, "" where it has none: "Ctrl+L"."""
    found = keys_of(name)
    return spelled(found[0]) if found else ""


def key_words(name: str) -> str:
    """The key of a use within a sentence; where it has none, the line of the menu: “Undo”."""
    return key_of(name) or f"“{_BY_NAME[name].title}”"


def with_key(text: str, name: str) -> str:
    """A button's words with the key of a use behind them, where it has one."""
    return f"{translated(text)}  {key_of(name)}".rstrip()


def with_keys(text: str) -> str:
    """A text in which {key:undo} stands for the key of a use."""
    return _MARK.sub(lambda found: key_words(found.group(1)), translated(text))


def spelled(key: str) -> str:
    """A key as it is written everywhere: "Ctrl+Enter", "Shift+F1", "Alt+←"."""
    parts = key.replace("++", "+\0").split("+")
    return "+".join(_NAMES.get(part, part).replace("\0", "+") for part in parts)


def is_single(key: str) -> bool:
    """Whether a key is a letter, a figure or a sign alone, or with Shift."""
    return len(key.removeprefix("Shift+")) == 1


def place_use(number: int) -> str:
    """The name of the use that goes to the place of that number, from 0."""
    return f"place_{min(number + 1, PLACES_MOST)}"


def taken_by(name: str, key: str, changed: Mapping[str, str]) -> KeyUse | None:
    """Which other use has that key, where these were changed."""
    wanted = _same(key)
    return next(
        (use for use in KEY_USES
         if use.name != name and any(_same(one) == wanted for one in keys_with(use, changed))),
        None,
    )  # fmt: skip


def is_kept(key: str) -> bool:
    """Whether a key moves about, writes or copies everywhere, and can be nothing else."""
    return _same(key) in {_same(one) for one in _KEPT}


def _same(key: str) -> str:
    return key.replace("Enter", "Return").replace("Delete", "Del").replace("Escape", "Esc")
