"""Replays a whole cheddar-type day through the real window by keys, with a real kill -9.

`python -m tests.pace.replay` prints it at 600 times life; `--fast` as fast as it goes.
"""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from journal.keeping import Journal
from journal.records.instants import from_iso
from journal.records.makes import Milk
from journal.records.plan_text import builtin_plans
from tests.pace.day_story import LITRES, PLAN, START, ZONE, Story, the_day

ROOT = Path(__file__).resolve().parents[2]
SPEED = 600.0
_WORDS_ONLY = ("flocculation test", "flecks after", "turned")  # rows without a clock


@dataclass(frozen=True)
class Replayed:
    """What came of it: the story, what was shown after each act, how long it took, how it ended."""

    story: Story
    shown: dict[int, dict]
    seconds: float
    killed_by: int
    path: Path


def replay(folder: Path, speed: float = 0.0) -> Replayed:
    """Live the day in two processes, the first killed in the middle of it."""
    path = folder / "day.vatside"
    plan = next(p for p in builtin_plans() if p.name == PLAN)
    with Journal.create(path, letters="HL", zone=ZONE) as journal:
        journal.makes.begin(plan, Milk(LITRES), from_iso(START, ZONE))
    story, shown, began = the_day(), {}, time.monotonic()
    kill = next(i for i, act in enumerate(story.acts) if act.befalls == "kill")
    first = _window(path, 0, speed)
    for line in first.stdout:
        told = json.loads(line)
        shown[told["act"]] = told
        if told["act"] == kill:
            first.send_signal(signal.SIGKILL)
    killed_by = first.wait()
    first.stdout.close()
    second = _window(path, kill + 1, speed)
    for line in second.stdout:
        told = json.loads(line)
        shown[told["act"]] = told
    if second.wait() != 0:
        raise RuntimeError("The window ended before the day did.")
    second.stdout.close()
    return Replayed(story, shown, time.monotonic() - began, -killed_by, path)


def differences(done: Replayed) -> list[str]:
    """Where the page showed something else than the story says, a line each."""
    found = []
    for number, act in enumerate(done.story.acts):
        if act.shown is None:
            continue
        told, want = done.shown.get(number), act.shown
        if told is None:
            found.append(f"act {number}: nothing was shown")
            continue
        beside = {name: text for name, text in told["beside"].items() if name in want.beside}
        wanted = {name: text.removesuffix(" up") for name, text in want.beside.items()}
        beside = {
            name: text if text.endswith(("to go", "over")) else text.partition(" ")[0]
            for name, text in told["beside"].items()
            if not name.startswith(_WORDS_ONLY)
        }
        wanted = {name: text.removesuffix(" up") for name, text in want.beside.items()}
        pairs = (
            ("stage", told["stage"].lower(), want.stage),
            ("clock", f"{told['figures']} {told['what']}", f"{want.figures} {want.what}"),
            ("beside", beside, wanted),
            ("turned", told["turned"], want.turned),
        )
        for what, is_, should in pairs:
            if is_ != should:
                found.append(
                    f"act {number} at {act.at_s / 60:.2f} min, {what}: {is_}, not {should}"
                )
    return found


def _window(path: Path, first: int, speed: float) -> subprocess.Popen:
    return subprocess.Popen(
        [sys.executable, str(ROOT / "tests" / "pace" / "day_window.py"), str(path), str(first),
         str(speed)],
        cwd=ROOT, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip


def _print(done: Replayed) -> None:
    for number, act in enumerate(done.story.acts):
        told = done.shown.get(number, {})
        hours, rest = divmod(round(act.at_s), 3600)
        what = " ".join(act.keys) or act.befalls or "look"
        clock = f"{told.get('figures', '')} {told.get('what', '')}".strip()
        at = f"{hours:2d}:{rest // 60:02d}:{rest % 60:02d}"
        print(f"{at}  {what:42.42}  {told.get('stage', ''):22.22} {clock}")
    rate = done.story.acts[-1].at_s / done.seconds
    wrong = differences(done)
    print(f"{done.seconds:.0f} s, {rate:.0f} times life; killed by signal {done.killed_by}.")
    print("\n".join(wrong) if wrong else "Every clock was right to the second.")


if __name__ == "__main__":
    with TemporaryDirectory() as somewhere:
        _print(replay(Path(somewhere), 0.0 if "--fast" in sys.argv else SPEED))
