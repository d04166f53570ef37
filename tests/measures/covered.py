"""How much of a room its tests reach: `python3 packaging/start.py coverage [ROOM…] [--least 95]`.

Each file of tests that matters runs once under coverage.py, by branch, in two processes, and what
it reached is kept in a folder beside the environment: a run that was stopped goes on where it was.
The table says for each room and module how many of its lines and branches were reached, by the
tests and by processes that they start, but for those that are killed. By what each test reached,
mutants are tried (`mutants.py`).
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
HERE = Path(__file__).parent
FOLDER = ROOT / ".venv" / "measures"
ROOMS = ("keeping", "exchange", "records")
ALSO = {
    **dict.fromkeys(ROOMS, ("keeping", "exchange", "records", "command")),
    **dict.fromkeys(("reckoning", "curves"), ("outside", "topics")),
}
LEAST = 95.0


@dataclass(frozen=True)
class Reached:
    """What the tests of one file reached: the arcs of each file of the program, and of each of its
    lines the tests, by their number in `tests`."""

    tests: list[str]
    took: list[float]
    failed: set[str]
    arcs: dict[str, list[tuple[int, int]]]
    lines: dict[str, dict[int, list[int]]]


def main(words: list[str] | None = None) -> int:
    """Measure and print the table; 1 where a room is below `--least`, or its tests fail."""
    parser = argparse.ArgumentParser(prog="coverage", description=__doc__)
    parser.add_argument("rooms", nargs="*", metavar="ROOM", help=f"{', '.join(ROOMS)} if none")
    parser.add_argument("--least", type=float, default=LEAST, help="percent of a room")
    parser.add_argument("--modules", action="store_true", help="say what each module lacks")
    parser.add_argument("--jobs", type=int, default=2, help="processes at a time; 2")
    parser.add_argument("--again", action="store_true", help="forget what was measured before")
    args = parser.parse_args(words)
    rooms = args.rooms or list(ROOMS)
    measured = list(measure(rooms, again=args.again, jobs=args.jobs))
    failed = sorted(test for one in measured for test in one.failed)
    for test in failed:
        print(f"not passed: {test}")
    found = _report(rooms, measured)
    below = [room for room in rooms if _told(room, found, args.modules) < args.least]
    return 1 if below else 0


# Measuring


def files_for(rooms: list[str]) -> list[Path]:
    """The files of tests that matter to rooms: theirs first, then those of the rooms beside."""
    folders = dict.fromkeys([*rooms, *(name for room in rooms for name in ALSO.get(room, ()))])
    return [path for name in folders for path in sorted((ROOT / "tests" / name).rglob("test_*.py"))]


def measure(rooms: list[str], *, again: bool = False, jobs: int = 2) -> Iterator[Reached]:
    """What each file of tests reached; those that were measured already are only read."""
    fetch()
    at = {path: _kept_at(path) for path in files_for(rooms)}
    lack = [path for path, to in at.items() if again or not to.exists()]
    with ThreadPoolExecutor(jobs) as pool:
        output = list(
            pool.map(lambda n: _run({one: at[one] for one in lack[n::jobs]}), range(jobs))
        )
    for path, to in at.items():
        if not to.exists():
            raise SystemExit(f"{path.name} was not measured:\n{''.join(output)[-2000:]}")
        yield _read(to)


def _kept_at(path: Path) -> Path:
    name = path.relative_to(ROOT).with_suffix("").as_posix().replace("/", "-")
    return FOLDER / "reached" / _state("journal") / f"{name}-{_state(path)}.json"


def _read(kept: Path) -> Reached:
    found = json.loads(kept.read_text(encoding="utf-8"))
    lines = {file: {int(line): tests for line, tests in lines.items()}
             for file, lines in found["lines"].items()}  # fmt: skip
    return Reached(found["tests"], found["took"], set(found["failed"]), found["arcs"], lines)


@cache
def _state(name: str | Path) -> str:
    """Some digits that are others once a file, or one in a folder, is another."""
    path, digest = ROOT / name, hashlib.sha256()
    for each in sorted(path.rglob("*.py")) if path.is_dir() else [path]:
        digest.update(each.read_bytes())
    return digest.hexdigest()[:12]


def _run(files: dict[Path, Path]) -> str:
    """Run files of tests in one process; what each reached is written as soon as it has ended."""
    if not files:
        return ""
    rooms = [one.name for one in sorted((ROOT / "journal").iterdir()) if one.is_dir()]
    below = [one for one in rooms if one not in ("desk", "wording", "sample", "__pycache__")]
    for to in files.values():
        to.parent.mkdir(parents=True, exist_ok=True)
    written = {path.relative_to(ROOT).as_posix(): str(to) for path, to in files.items()}
    command = [sys.executable, "-m", "pytest", "-q", "-p", "tests.measures.tracing", "-n", "0",
               "-p", "no:cacheprovider", "-m", "not slow", *map(str, files)]  # fmt: skip
    with tempfile.TemporaryDirectory() as beside:
        Path(beside).chmod(0o777)  # a process may become another user's
        (Path(beside) / "sitecustomize.py").write_text(_STARTUP)
        env = {**os.environ, "QT_QPA_PLATFORM": "offscreen",
               "PYTHONPATH": os.pathsep.join((beside, str(FOLDER))), "TRACED_BESIDE": beside,
               "TRACED_TO": json.dumps(written),
               "TRACED": ",".join(f"journal/{one}" for one in below)}  # fmt: skip
        done = subprocess.run(
            command, cwd=ROOT, env=env, check=False, stdout=subprocess.PIPE, text=True
        )
    return done.stdout


_STARTUP = "import coverage\n\ncoverage.process_startup()\n"


def fetch(name: str = "coverage", pins: Path = HERE / "pins.txt") -> None:
    """Have a tool that is no part of the environment, once, in a folder beside it."""
    if not (FOLDER / name).is_dir():
        pip = ["-m", "pip", "install", "-q", "--target", str(FOLDER), "--no-deps", "-r"]
        subprocess.run([sys.executable, *pip, str(pins)], check=True)


# The table


def _report(rooms: list[str], measured: list[Reached]) -> dict[str, Any]:
    """What coverage.py says of all of it together, by file."""
    sys.path.insert(0, str(FOLDER))
    from coverage import Coverage, CoverageData

    arcs: dict[str, set[tuple[int, int]]] = {
        path.as_posix(): set()
        for room in rooms for path in (ROOT / "journal" / room).rglob("*.py")
    }  # fmt: skip
    for one in measured:
        for name, found in one.arcs.items():
            arcs.get((ROOT / name).as_posix(), set()).update((a, b) for a, b in found)
    with tempfile.TemporaryDirectory() as folder:
        data, out = CoverageData(f"{folder}/data"), f"{folder}/found.json"
        data.add_arcs(arcs)
        data.touch_files(list(arcs))
        data.write()
        tool = Coverage(f"{folder}/data", branch=True, config_file=str(HERE / "coverage.ini"))
        tool.load()
        tool.json_report(outfile=out)
        files: dict[str, Any] = json.loads(Path(out).read_text("utf-8"))["files"]
    return files


def _told(room: str, files: dict[str, Any], modules: bool) -> float:
    """Print a room's line, and its modules'; the percent reached, of lines and branches together or
    of branches alone, whichever is less."""
    whole: Counter[str] = Counter()
    lines = []
    for name, file in sorted(files.items()):
        if f"journal/{room}/" not in Path(name).as_posix():
            continue
        of = file["summary"]
        whole.update({key: of[key] for key in _COUNTS})
        if modules and of["percent_covered"] < 100:
            turns = (f"{a}-{b}" for a, b in file["missing_branches"])
            lacks = ", ".join([*map(str, file["missing_lines"]), *turns])
            lines.append(f"    {Path(name).name:24} {of['percent_covered']:5.1f} %  {lacks}")
    share = _share(whole)
    reached = f"{whole['covered_lines']:,} of {whole['num_statements']:,} lines"
    turns = f"{whole['covered_branches']:,} of {whole['num_branches']:,} branches"
    by_branch = 100 * whole["covered_branches"] / (whole["num_branches"] or 1)
    print(f"{room:12} {share:5.1f} %  {reached}, {turns} ({by_branch:.1f} %)")
    for line in lines:
        print(line)
    return min(share, by_branch)


_COUNTS = ("covered_lines", "num_statements", "covered_branches", "num_branches")


def _share(of: Counter[str]) -> float:
    all_of = of["num_statements"] + of["num_branches"]
    return 100 * (of["covered_lines"] + of["covered_branches"]) / all_of if all_of else 100.0


if __name__ == "__main__":
    sys.exit(main())
