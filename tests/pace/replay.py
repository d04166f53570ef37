"""Replays a whole cheddar-type day through the real window by keys, with a real kill -9.

`python -m tests.pace.replay` prints it at 600 times life, which takes about two and a half minutes;
`--fast` as fast as it goes. The journal is empty at first: the make is begun in Plans, by keys.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from journal.keeping import Journal
from tests.pace.day_story import ZONE, Act, Story, the_day

ROOT = Path(__file__).resolve().parents[2]
SPEED = 620.0  # between the acts, so that the whole, two starts included, is 600 times life
_WORDS_ONLY = ("flocculation test", "flecks after", "turned")  # rows without a clock


@dataclass(frozen=True)
class Replayed:
    """What came of it: the story, what was shown after each act, how long it took by the clock and
    in work of the two processes (which a busy machine does not make longer), how it ended."""

    story: Story
    shown: dict[int, dict]
    seconds: float
    worked_s: float
    killed_by: int
    path: Path


def replay(folder: Path, speed: float = 0.0) -> Replayed:
    """Live the day in two processes, the first killed in the middle of it."""
    path = folder / "day.vatside"
    Journal.create(path, letters="HL", zone=ZONE).close()
    story, shown, began, before = the_day(), {}, time.monotonic(), os.times()
    kill = next(i for i, act in enumerate(story.acts) if act.befalls == "kill")
    first = _window(path, 0, speed, began)
    for line in first.stdout:
        report = json.loads(line)
        shown[report["act"]] = report
        if report["act"] == kill:
            first.send_signal(signal.SIGKILL)
    killed_by = first.wait()
    first.stdout.close()
    if killed_by != -signal.SIGKILL:
        raise RuntimeError("The first window ended before it was killed.")
    second = _window(path, kill + 1, speed, began)
    for line in second.stdout:
        report = json.loads(line)
        shown[report["act"]] = report
    if second.wait() != 0:
        raise RuntimeError("The window ended before the day did.")
    second.stdout.close()
    after = os.times()
    worked = sum(after[2:4]) - sum(before[2:4])  # of the children: their own code, the system's
    return Replayed(story, shown, time.monotonic() - began, worked, -killed_by, path)


def differences(done: Replayed) -> list[str]:
    """Where the page showed something else than the story says, a line each."""
    found = []
    for number, act in enumerate(done.story.acts):
        report = done.shown.get(number)
        if report is None:
            found.append(f"act {number}: nothing was shown")
            continue
        for what, is_, should in _pairs(act, report):
            if is_ != should:
                at = f"act {number} at {act.at_s / 60:.2f} min"
                found.append(f"{at}, {what}: {is_}, not {should}")
    return found


def _pairs(act: Act, report: dict) -> list[tuple[str, object, object]]:
    """What is to be compared after an act: what, as it was shown, as it should be."""
    pairs = [(what, report.get(what), should) for what, should in act.says.items()]
    want = act.shown
    if want is None:
        return pairs
    beside = {
        name: text if text.endswith(("to go", "over")) else text.partition(" ")[0]
        for name, text in report.get("beside", {}).items()
        if not name.startswith(_WORDS_ONLY)
    }
    wanted = {name: text.removesuffix(" up") for name, text in want.beside.items()}
    clock = f"{report.get('figures')} {report.get('what')}"
    return [
        *pairs,
        ("stage", report.get("stage", "").lower(), want.stage),
        ("clock", clock, f"{want.figures} {want.what}"),
        ("beside", beside, wanted),
        ("turned", report.get("turned"), want.turned or report.get("of_the_milk")),
    ]


def _window(path: Path, first: int, speed: float, began: float) -> subprocess.Popen:
    return subprocess.Popen(
        [sys.executable, str(ROOT / "tests" / "pace" / "day_window.py"), str(path), str(first),
         str(speed), str(began)],
        cwd=ROOT, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip


def _print(done: Replayed) -> None:
    for number, act in enumerate(done.story.acts):
        report = done.shown.get(number, {})
        hours, rest = divmod(abs(round(act.at_s)), 3600)
        what = " ".join((act.befalls, *act.keys)).strip() or "look"
        clock = f"{report.get('figures', '')} {report.get('what', '')}".strip()
        at = f"{'−' if act.at_s < 0 else ' '}{hours:2d}:{rest // 60:02d}:{rest % 60:02d}"
        stage = report.get("stage") or report.get("title") or report.get("place", "")
        print(f"{at}  {what:42.42}  {stage:22.22} {clock}")
    lived = done.story.acts[-1].at_s - done.story.acts[0].at_s
    wrong = differences(done)
    print(
        f"{lived / 3600:.1f} h in {done.seconds:.0f} s, {lived / done.seconds:.0f} times life in "
        f"all; killed by signal {done.killed_by}."
    )
    print("\n".join(wrong) if wrong else "Every clock was right to the second.")


if __name__ == "__main__":
    with TemporaryDirectory() as somewhere:
        _print(replay(Path(somewhere), 0.0 if "--fast" in sys.argv else SPEED))
