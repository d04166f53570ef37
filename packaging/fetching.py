"""The pinned packages, fetched with pip, and what pip's failures mean to a person."""

from __future__ import annotations

import contextlib
import os
import platform
import re
import subprocess
from typing import TYPE_CHECKING

from trouble import Trouble, last_line, say

if TYPE_CHECKING:
    from collections.abc import Iterator

NETWORK_WORDS = (
    "Failed to establish a new connection",
    "name resolution",
    "NewConnectionError",
    "ConnectTimeoutError",
    "ReadTimeoutError",
    "ProxyError",
    "Network is unreachable",
    "Connection refused",
    "Connection reset",
    "Connection aborted",
    "Read timed out",
)
# The second stands where a pinned version is not to be had.
NO_PACKAGE = re.compile(r"No matching distribution found for (\S+)|Cannot install ([^\s,]+)")


class NothingChanged(Trouble):
    """A failure that came before the first package was put in place."""


def install(python: str, names: list[str], pins: str, log: str) -> None:
    """Install the named packages in the pinned versions, ready made only.

    Parameters
    ----------
    python : str
        The environment's own Python.
    names : list of str
        What is wanted, as in pyproject.toml.
    pins : str
        The file with one exact version a line.
    log : str
        Where pip's whole account is kept.
    """
    say("Fetching what Vatside needs (a few hundred megabytes the first time).")
    with contextlib.suppress(FileNotFoundError):
        os.remove(log)
    pip = [python, "-m", "pip", "install", "--no-input", "--disable-pip-version-check"]
    pip += ["--log", log, "--only-binary", ":all:", "--constraint", pins]
    code, printed = _run([*pip, *names])
    if code == 0:
        return
    # Why a page could not be fetched stands in the log alone.
    with open(log, encoding="utf-8", errors="replace") as file:
        account = file.read()
    kind = Trouble if "Installing collected packages" in printed else NothingChanged
    raise kind(why(printed, account))


def _run(command: list[str]) -> tuple[int, str]:
    """Run pip, show what it fetches, and return its exit code and all it said."""
    # A person's own pip settings must not send the packages out of the environment.
    settings = {**os.environ, "PIP_USER": "0", "PYTHONUNBUFFERED": "1"}
    lines = []
    with subprocess.Popen(
        command,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
        env=settings,
    ) as pip:
        for line in pip.stdout or ():
            lines.append(line)
            for sentence in _worth_telling(line.strip()):
                say(sentence)
    return pip.returncode, "".join(lines)


def _worth_telling(line: str) -> Iterator[str]:
    first, _, rest = line.partition(" ")
    if first == "Downloading" and ".metadata" not in rest:
        name, version = rest.rpartition("/")[2].split("-")[:2]
        yield f"  {name} {version} {rest[rest.find('(') :] if '(' in rest else ''}".rstrip()
    elif line.startswith("Installing collected packages"):
        yield "Installing."


def why(printed: str, account: str) -> str:
    """Turn a failure of pip into what happened and what to do.

    Parameters
    ----------
    printed : str
        What pip printed.
    account : str
        What it wrote to its log, which says more.
    """
    again = "then run this again."
    if any(words in account for words in NETWORK_WORDS):
        return f"The packages could not be fetched: no network. Connect this machine, {again}"
    if "CERTIFICATE_VERIFY_FAILED" in account:
        return (
            "The package index was not trusted, because its certificate was not accepted. "
            f"Check this machine's date and its network, {again}"
        )
    if "No space left on device" in account:
        return f"The disk is full. Free about 2 GB, {again}"
    none = NO_PACKAGE.search(printed)
    if none:
        return _none_ready_made(none[1] or none[2])
    return f"The packages could not be installed: {last_line(printed)}"


def _none_ready_made(name: str) -> str:
    here = f"Python {platform.python_version()} on {platform.system()} {platform.machine()}"
    return (
        f"There is no {name} in the pinned version ready made for {here}. "
        "It comes for Python 3.11 to 3.13 on a 64-bit Linux, macOS or Windows machine."
    )
