"""The choices of the window's settings file, for the commands: they write in the same units."""

from __future__ import annotations

import configparser
import os
import sys
from pathlib import Path

from journal.wording.keys import GROUP as KEYS
from journal.wording.style import Style, style_of

_GROUP = "preferences"


def settings_path() -> Path:
    """Where the window keeps its settings: an INI file in the user's configuration folder."""
    if sys.platform == "win32":
        folder = Path(os.environ.get("APPDATA", Path.home()))
    else:
        folder = Path(os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config")
    return folder / "Vatside" / "vatside.ini"


def style_of_file(path: Path) -> Style:
    """The style that is chosen there; the usual one where nothing is, or it cannot be read."""
    return style_of(_read(path, _GROUP))


def keys_of_file(path: Path) -> dict[str, str]:
    """The keys that were changed there, by the names of their uses."""
    return _read(path, KEYS)


def _read(path: Path, group: str) -> dict[str, str]:
    reader = configparser.RawConfigParser(strict=False)
    try:
        reader.read(path, encoding="utf-8")
    except (OSError, UnicodeDecodeError, configparser.Error):
        return {}
    if not reader.has_section(group):
        return {}
    return {key: value.strip('"') for key, value in reader.items(group)}
