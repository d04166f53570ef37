"""Where the environment lies, and its stamp: what it was made from and what was found out since."""

from __future__ import annotations

import json
import os
from typing import Any

ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
FOLDER = os.path.join(ROOT, ".venv")
PINS = os.path.join(ROOT, "packaging", "pins.txt")
STAMP = os.path.join(FOLDER, "vatside.json")
UNFINISHED = os.path.join(FOLDER, "vatside-unfinished")
PROGRAMS = os.path.join(FOLDER, "Scripts" if os.name == "nt" else "bin")
PYTHON = os.path.join(PROGRAMS, "python.exe" if os.name == "nt" else "python")


def read_stamp() -> dict[str, Any]:
    """Give back the stamp; empty where there is none."""
    try:
        with open(STAMP, encoding="utf-8") as file:
            stamp = json.load(file)
    except (OSError, ValueError):
        return {}
    return stamp if isinstance(stamp, dict) else {}


def write_stamp(stamp: dict[str, Any]) -> None:
    """Write the stamp anew, whole or not at all."""
    with open(STAMP + ".new", "w", encoding="utf-8") as file:
        json.dump(stamp, file)
    os.replace(STAMP + ".new", STAMP)


def settle(key: str, value: object) -> None:
    """Note one more thing on the stamp, so that the next run need not look again."""
    write_stamp({**read_stamp(), key: value})


def settled(key: str) -> object:
    """Give back what was noted on the stamp; None when nothing was."""
    return read_stamp().get(key)
