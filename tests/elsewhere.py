"""The tests on another day, in another language and another zone, whatever today is here.

`python -m tests.elsewhere leap -- -n 2` runs pytest there; `short` runs the few files that know
days in three of them, as `.ci/run` does; without a name the six are listed. The day is the work of
`shifted/sitecustomize.py`, which shifts the wall clock of every Python of the run: the program asks
no other (`tests/test_house.py` holds that). A locale that the machine lacks is made by localedef.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from tests.locales import environment

ROOT = Path(__file__).resolve().parents[1]
SHIFTED = Path(__file__).parent / "shifted"
# What knows days, months or zones and is quick.
SHORT = (
    *(f"tests/records/test_{name}.py" for name in (
        "dates", "due", "at_clock", "plan_day", "brines", "stock", "clocks")),
    "tests/keeping/test_care_tasks.py", "tests/command/test_vat.py",
    "tests/desk/test_axes.py",
)  # fmt: skip


@dataclass(frozen=True)
class Elsewhere:
    """A day and a time there, a locale and a zone."""

    day: str
    locale: str
    zone: str

    def environment(self) -> dict[str, str]:
        """What a process is to be given to be there."""
        there = {**os.environ, "TZ": self.zone, "QT_QPA_PLATFORM": "offscreen"}
        language = environment(self.locale)
        if language is None:
            print(f"No locale {self.locale} here, and it cannot be made: Qt alone speaks it.")
            language = {"LC_ALL": self.locale, "LANG": self.locale}
        return there | language | self._clock()

    def _clock(self) -> dict[str, str]:
        at = datetime.fromisoformat(self.day).replace(tzinfo=ZoneInfo(self.zone))
        shifted = int(os.environ.get("VATSIDE_SHIFT_S", "0"))  # where the tests run elsewhere
        known = [path for path in (os.environ.get("PYTHONPATH"),) if path]
        return {
            "PYTHONPATH": os.pathsep.join([str(SHIFTED), *known]),
            "VATSIDE_SHIFT_S": str(round(at.timestamp() - time.time()) + shifted),
        }


# Between them: three locales and three zones, twice each.
SIX = {
    "leap": Elsewhere("2028-02-29T12:00", "de_DE.UTF-8", "Pacific/Auckland"),
    "new-year": Elsewhere("2026-12-31T23:50", "ja_JP.UTF-8", "Pacific/Auckland"),
    # Newfoundland puts its clocks forward at 02:00 (IANA zone data).
    "spring": Elsewhere("2027-03-14T01:50", "ja_JP.UTF-8", "America/St_Johns"),
    # London, where the tests' kitchens are, puts them back at 01:00 UTC.
    "autumn": Elsewhere("2027-10-31T00:50", "en_US.UTF-8", "UTC"),
    "mid-month": Elsewhere("2027-06-16T12:00", "en_US.UTF-8", "America/St_Johns"),
    "years": Elsewhere("2041-10-13T09:00", "de_DE.UTF-8", "UTC"),
}
IN_SHORT = ("leap", "new-year", "autumn")


def run(name: str, words: list[str]) -> int:
    """Run pytest with these words there; gives its exit code."""
    there = SIX[name]
    command = [sys.executable, "-m", "pytest", "-q", *words]
    print(f"{there.day} in {there.zone}, {there.locale}: pytest {' '.join(words)}", flush=True)
    return subprocess.run(command, cwd=ROOT, env=there.environment(), check=False).returncode


def main(words: list[str]) -> int:
    """Run what was asked for."""
    name, rest = (words[0], words[1:]) if words else ("", [])
    if name == "short":
        return max(run(each, ["-n", "0", *SHORT]) for each in IN_SHORT)
    if name not in SIX:
        print(
            "\n".join(f"{key}: {each.day}, {each.locale}, {each.zone}" for key, each in SIX.items())
        )
        return 2
    return run(name, rest[1:] if rest[:1] == ["--"] else rest)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
