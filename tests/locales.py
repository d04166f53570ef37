"""The languages of other desktops: locales of the C library, for a while."""

from __future__ import annotations

import locale
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache

import pytest

LOCALES = ("de_DE.UTF-8", "ja_JP.UTF-8")
DESKTOPS = (*LOCALES, "tr_TR.UTF-8", "ar_EG.UTF-8")  # where "i" has another capital, and digits
_ENGLISH = "Saturday March"


@cache
def _folder() -> tempfile.TemporaryDirectory[str]:
    """Where this run keeps the locales that it makes."""
    return tempfile.TemporaryDirectory(prefix="vatside-locales-")


@cache
def _made(name: str) -> bool:
    """Whether that locale could be made in the folder."""
    language, _, charset = name.partition(".")
    if shutil.which("localedef") is None:
        return False
    command = ["localedef", "-i", language, "-f", charset, f"{_folder().name}/{name}"]
    return subprocess.run(command, capture_output=True, check=False).returncode == 0


def environment(name: str) -> dict[str, str] | None:
    """What a process is to be given to speak that language; None where it cannot be had."""
    before = locale.setlocale(locale.LC_ALL)
    try:
        locale.setlocale(locale.LC_ALL, name)
    except locale.Error:
        if not _made(name):
            return None
        return {"LC_ALL": name, "LANG": name, "LOCPATH": _folder().name}
    finally:
        locale.setlocale(locale.LC_ALL, before)
    return {"LC_ALL": name, "LANG": name}


@contextmanager
def spoken(name: str) -> Iterator[Callable[[str], bool]]:
    """This process in that locale; gives what tells whether "Saturday March" is said otherwise."""
    before, wanted = locale.setlocale(locale.LC_ALL), environment(name)
    if wanted is None:
        pytest.skip(f"this machine has no locale {name} and cannot make it")
    with pytest.MonkeyPatch.context() as patch:
        for variable, value in wanted.items():
            patch.setenv(variable, value)
        locale.setlocale(locale.LC_ALL, name)
        try:
            yield lambda words: words != _ENGLISH
        finally:
            locale.setlocale(locale.LC_ALL, before)
