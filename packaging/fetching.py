"""The pinned packages, fetched with pip, and what pip's failures mean to a person."""

from __future__ import annotations

import os
import platform
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
    pip = [python, "-m", "pip", "install", "--no-input", "--disable-pip-version-check"]
    code = _run([*pip, "--only-binary", ":all:", "--constraint", pins, *names], log)
    if code == 0:
        return
    with open(log, encoding="utf-8") as file:
        account = file.read()
    kind = Trouble if "Installing collected packages" in account else NothingChanged
    raise kind(why(account))


def _run(command: list[str], log: str) -> int:
    """Run pip, keep its account, and show what it fetches."""
    # A person's own pip settings must not send the packages out of the environment.
    settings = {**os.environ, "PIP_USER": "0", "PYTHONUNBUFFERED": "1"}
    with (
        open(log, "w", encoding="utf-8") as account,
        subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            errors="replace",
            env=settings,
        ) as pip,
    ):
        for line in pip.stdout or ():
            account.write(line)
            for sentence in _worth_telling(line.strip()):
                say(sentence)
    return pip.returncode


def _worth_telling(line: str) -> Iterator[str]:
    first, _, rest = line.partition(" ")
    if first == "Downloading" and ".metadata" not in rest:
        name, version = rest.rpartition("/")[2].split("-")[:2]
        yield f"  {name} {version} {rest[rest.find('(') :] if '(' in rest else ''}".rstrip()
    elif line.startswith("Installing collected packages"):
        yield "Installing."


def why(account: str) -> str:
    """Turn pip's account of a failure into what happened and what to do."""
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
    if "No matching distribution found for " in account:
        return _none_ready_made(account.rpartition("No matching distribution found for ")[2])
    return f"The packages could not be installed: {last_line(account)}"


def _none_ready_made(rest: str) -> str:
    here = f"Python {platform.python_version()} on {platform.system()} {platform.machine()}"
    return (
        f"There is no {rest.split()[0]} ready made for {here}. "
        "It comes for Python 3.11 to 3.13 on a 64-bit Linux, macOS or Windows machine."
    )
