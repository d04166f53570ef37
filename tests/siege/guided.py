"""Hostile input that follows the program's branches: `python -m tests.siege.guided DOOR [SECONDS]`.

At one door of `hostile.py`: atheris changes an input wherever that reaches a branch that none did
before. What is not borne ends it with that input and 77; else its last line says how many it took.
It is fetched once into a folder beside the environment, and is part of no run of the tests.
"""

from __future__ import annotations

import sys
import tempfile
from importlib import import_module
from pathlib import Path

from tests.measures.covered import FOLDER, fetch

SIZES = (0, 20, 200, 2000)  # of the harmless inputs that it begins with
SECONDS = 60


def main(words: list[str]) -> int:
    """Let inputs in at a door for so long."""
    fetch("atheris", Path(__file__).with_name("pins.txt"))
    sys.path.append(str(FOLDER))
    atheris = import_module("atheris")
    with atheris.instrument_imports(include=["journal"]):
        hostile = import_module("tests.siege.hostile")
    door = hostile.DOORS.get(words[0] if words else "")
    if door is None:
        sys.stderr.write(f"One door of these: {', '.join(hostile.DOORS)}.\n")
        return 2
    meter = hostile._Meter(door)
    folder = tempfile.mkdtemp(prefix="guided")
    for size in SIZES:
        (Path(folder) / str(size)).write_bytes(door.harmless(size))
    limits = [f"-max_total_time={words[1] if words[1:] else SECONDS}", "-max_len=20000",
              f"-rss_limit_mb={4 * hostile.MOST_MB}", f"-artifact_prefix={folder}/"]  # fmt: skip
    atheris.Setup([sys.argv[0], *limits, folder], meter.take)
    atheris.Fuzz()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
