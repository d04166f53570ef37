"""How soon the program's window is up and usable, from the start of the process, against a bare
window; and the memory it holds at rest."""

from __future__ import annotations

import shutil
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path

from tests.pace.journals import Journals
from tests.pace.ratio import Ratio, in_turn
from tests.pace.starting import BARE, OURS, Start, compile_all

REST_S = 5.0  # of the bare window, which does nothing by then
UPS = (("in Today", "drawn"), ("on a running make, until it can be typed in", "typed"))


def measure(journals: Journals, rounds: int) -> Iterator[Ratio]:
    """The window on a small and on a large journal, each against the bare window."""
    compile_all()
    folder = journals.folder
    for what, up in UPS:
        name = f"the window up {what}"
        for work in (False, True):
            beside = ", in work of the processor" if work else ""
            large, small = (_Ours(journals.of(n), up, folder, work=work)
                            for n in (journals.large, journals.small))  # fmt: skip
            bare = Start(BARE, home=folder / "bare", work=work)
            for makes, start in ((journals.large, large), (journals.small, small)):
                yield in_turn(f"{name}, {makes:,} makes{beside}", start, bare, rounds, 1.5)
            output = f"{name}, {journals.large:,} makes to {journals.small}{beside}"
            yield in_turn(output, large, small, rounds, 1.2)
    yield in_turn(
        f"memory at rest, {journals.large:,} makes, to a bare window's",
        _Resting(_Ours(journals.of(journals.large), "typed", folder)),
        _Resting(Start(BARE, home=folder / "bare")),
        min(rounds, 3), 1.5, unit="MB",
    )  # fmt: skip


class _Ours:
    """Starts of the program on a journal: on one it has not met it opens in Today, on one that it
    has, at the vat."""

    def __init__(self, path: Path, up: str, folder: Path, *, work: bool = False) -> None:
        self._home = folder / f"home-{path.stem}-{up}"
        self._new = up == "drawn"
        self._start = Start(OURS, str(path), up if self._new else "any", home=self._home, work=work)
        if not self._new:
            self._start()
            self._start = Start(OURS, str(path), up, home=self._home, work=work)

    def __call__(self) -> float:
        return self.start()()

    def start(self) -> Start:
        """The next start."""
        if self._new:
            shutil.rmtree(self._home)
            self._home.mkdir()
        return self._start


class _Resting:
    """What a window holds of memory once nothing is under way any more, MB: of ours once its places
    are loaded, the day's check and backup are made, and what they used is given back."""

    def __init__(self, window: _Ours | Start) -> None:
        self._window = window

    def __call__(self) -> float:
        held = []
        ours = isinstance(self._window, _Ours)

        def look(process: subprocess.Popen[str]) -> None:
            assert process.stdout is not None
            if not ours:
                time.sleep(REST_S)
            elif process.stdout.readline() != "at rest\n":
                raise RuntimeError("The window that was to be measured did not come to rest.")
            held.append(_resident_mb(process.pid))

        start = self._window.start() if isinstance(self._window, _Ours) else self._window
        start.run(look)
        return held[0]


def _resident_mb(pid: int) -> float:
    lines = Path(f"/proc/{pid}/status").read_text().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith("VmRSS")) / 1024
