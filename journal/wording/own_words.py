"""The words that stand in `resources/sentences`: the files, read once."""

from __future__ import annotations

import tomllib
from functools import cache
from typing import Any

from journal.records.own_files import own_file


@cache
def own_words(name: str) -> dict[str, Any]:
    """A file of sentences: its tables by name, each of texts by their key."""
    return tomllib.loads(own_file("sentences", f"{name}.toml").read_text(encoding="utf-8"))
