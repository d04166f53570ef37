"""How much of a room its tests reach: `python3 packaging/start.py coverage [ROOM…] [--least 95]`.

The tests of each room run under coverage.py, by branch, and the table says for each room and module
how many of its lines and branches were reached; what runs in processes of its own is not counted.
coverage.py is fetched once into a folder beside the environment.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
HERE = Path(__file__).parent
FOLDER = ROOT / ".venv" / "measures"
ROOMS = ("keeping", "exchange", "records")
LEAST = 95.0


def main(words: list[str] | None = None) -> int:
    """Measure and print the table; 1 where a room is below `--least`, or its tests fail."""
    parser = argparse.ArgumentParser(prog="coverage", description=__doc__)
    parser.add_argument("rooms", nargs="*", metavar="ROOM", help=f"{', '.join(ROOMS)} if none")
    parser.add_argument("--least", type=float, default=LEAST, help="percent of a room")
    parser.add_argument("--modules", action="store_true", help="say what each module lacks")
    args = parser.parse_args(words)
    rooms = args.rooms or list(ROOMS)
    _fetch()
    with tempfile.TemporaryDirectory() as folder:
        env = {**os.environ, "PYTHONPATH": str(FOLDER), "COVERAGE_FILE": f"{folder}/data",
               "QT_QPA_PLATFORM": "offscreen"}  # fmt: skip
        failed = False
        source = ",".join(f"journal/{room}" for room in rooms)
        for room in rooms:
            run = _words("run", f"--source={source}", "-m", "pytest", "-q", f"tests/{room}")
            failed |= subprocess.run(run, cwd=ROOT, env=env, check=False).returncode != 0
        out = f"{folder}/found.json"
        subprocess.run(_words("combine", "-q"), cwd=ROOT, env=env, check=True)
        subprocess.run(_words("json", "-q", "-o", out), cwd=ROOT, env=env, check=True)
        found = json.loads(Path(out).read_text("utf-8"))["files"]
    below = [room for room in rooms if _told(room, found, args.modules) < args.least]
    return 1 if failed or below else 0


def _words(*words: str) -> list[str]:
    return [sys.executable, "-m", "coverage", words[0], f"--rcfile={HERE / 'coverage.ini'}",
            *words[1:]]  # fmt: skip


def _fetch() -> None:
    if not (FOLDER / "coverage").is_dir():
        pip = ["-m", "pip", "install", "-q", "--target", str(FOLDER), "--no-deps", "-r"]
        subprocess.run([sys.executable, *pip, str(HERE / "pins.txt")], check=True)


def _told(room: str, files: dict[str, Any], modules: bool) -> float:
    """Print a room's line, and its modules'; the percent of lines and branches reached."""
    whole: Counter[str] = Counter()
    lines = []
    for name, file in sorted(files.items()):
        if not Path(name).as_posix().startswith(f"journal/{room}/"):
            continue
        of = file["summary"]
        whole.update({key: of[key] for key in _COUNTS})
        if modules and of["percent_covered"] < 100:
            lacks = _short([*file["missing_lines"], *(one for one, _ in file["missing_branches"])])
            lines.append(f"    {Path(name).name:24} {of['percent_covered']:5.1f} %  {lacks}")
    share = _share(whole)
    reached = f"{whole['covered_lines']:,} of {whole['num_statements']:,} lines"
    turns = f"{whole['covered_branches']:,} of {whole['num_branches']:,} branches"
    print(f"{room:12} {share:5.1f} %  {reached}, {turns}")
    for line in lines:
        print(line)
    return share


_COUNTS = ("covered_lines", "num_statements", "covered_branches", "num_branches")


def _share(of: Counter[str]) -> float:
    all_of = of["num_statements"] + of["num_branches"]
    return 100 * (of["covered_lines"] + of["covered_branches"]) / all_of if all_of else 100.0


def _short(numbers: list[int]) -> str:
    return ", ".join(map(str, sorted({number for number in numbers if number > 0})))


if __name__ == "__main__":
    sys.exit(main())
