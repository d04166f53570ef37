"""The languages there are: English stands in the program, each other one is a file.

`languages/xx.toml`, among the program's own files or in the user's data folder, has the language's
own name and two tables; what it lacks, and what it cannot fill, is said in English:

    name = "Deutsch"

    [messages]
    "keeping.nothing-to-undo" = "Es gibt nichts zurückzunehmen."

    [texts]
    "Go to the vat" = "Zum Kessel"

`messages` are sentences by their ids; `texts` what has no value, and so no id, by its English: a
button's, a command's, a field's, a column's, a heading's.
"""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any

from journal.records import RecordError
from journal.records.own_files import own_file
from journal.wording.style import style_in_use

ENGLISH = "en"
_FOLDER = "languages"


def languages() -> tuple[tuple[str, str], ...]:
    """Each language's code with its own name, English first."""
    found = {ENGLISH: "English"}
    for path in _files(_home()):
        found.setdefault(path.stem, str(_read(path).get("name", path.stem)))
    return tuple(found.items())


def sentence(code: str, message: str) -> str | None:
    """The template that a language has for a message, None where it has none."""
    return None if code == ENGLISH else _table(code, "messages", _home()).get(message)


def translated(text: str) -> str:
    """A text of the program without a value, in the language in use, which may have none."""
    code = style_in_use().language
    return text if code == ENGLISH else _table(code, "texts", _home()).get(text, text)


def phrase(text: str) -> str:
    """The same of what may be typed, or drawn: a single word may be a name, and stays as it is."""
    return translated(text) if " " in text else text


@cache
def _table(code: str, name: str, home: Path) -> Mapping[str, str]:
    found: dict[str, str] = {}
    for path in _files(home):
        own = _read(path).get(name, {}) if path.stem == code else {}
        if isinstance(own, dict):
            found = {key: text for key, text in own.items() if isinstance(text, str)} | found
    return found


def _home() -> Path:
    return Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")


def _files(home: Path) -> list[Path]:
    """The files of languages, the user's own first."""
    folders = [home / "vatside" / _FOLDER]
    with suppress(RecordError):  # none comes along
        folders.append(own_file(_FOLDER))
    found: list[Path] = []
    for folder in folders:
        with suppress(OSError):  # one that may not be looked into
            found += sorted(folder.glob("*.toml"))
    return found


@cache
def _read(path: Path) -> Mapping[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError):
        return {}
