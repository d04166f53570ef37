"""A plugin of pytest that notes which lines and branches each test reaches, and its time.

`covered.py` loads it, and says by `TRACED_TO` where to write that for each file of tests, by
`TRACED` of which folders of the program. It is written as soon as a file's last test has ended.
"""

from __future__ import annotations

import json
import os
import re
import time
from collections import defaultdict
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
_TERMINAL = os.dup(2)  # before pytest takes it
_BESIDE = """[run]
branch = true
parallel = true
data_file = {to}
source = {source}
context = ${{TRACED_TEST-}}
disable_warnings = no-data-collected,module-not-imported,module-not-measured
"""


class TracedTests:
    """One run of pytest under coverage.py; each test is a context of its own, and what it starts is
    counted too, where that ends by itself: it is handed the context in its environment."""

    def __init__(self, folders: list[str], to: dict[str, str], beside: Path) -> None:
        from coverage import Coverage

        self.tracer = Coverage(data_file=None, branch=True, config_file=False, source=folders)
        self.tracer.start()
        self.to, self.beside = to, beside
        source = ",".join(str(ROOT / one) for one in folders)
        (beside / "coverage.ini").write_text(_BESIDE.format(to=beside / "reached", source=source))
        os.environ["COVERAGE_PROCESS_START"] = str(beside / "coverage.ini")
        self._begin()

    def _begin(self) -> None:
        self.tests: list[str] = []
        self.took: list[float] = []
        self.failed: set[str] = set()

    def pytest_collection_finish(self, session: pytest.Session) -> None:
        """A file without a test that is run has reached nothing."""
        run = {item.path.relative_to(ROOT).as_posix() for item in session.items}
        for file in set(self.to) - run:
            self._write(file)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(
        self, item: pytest.Item, nextitem: pytest.Item | None
    ) -> Iterator[None]:
        """What runs from here on is this test's."""
        file = item.path.relative_to(ROOT).as_posix()
        os.environ["TRACED_TEST"] = context = f"{file} {len(self.tests)}"
        self.tracer.switch_context(context)
        begun = time.monotonic()
        try:
            return (yield)  # type: ignore[return-value]
        finally:
            self.tests.append(item.nodeid)
            self.took.append(round(time.monotonic() - begun, 3))
            self.tracer.switch_context("")
            if nextitem is None or nextitem.path != item.path:
                self._write(file)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """What fails of itself tells nothing of a mutant."""
        if report.failed:
            self.failed.add(report.nodeid)

    def _found(self, tests: str) -> dict[str, Any]:
        """All that a file of tests reached, and what imports do: the arcs of each file of the
        program, and of each line the tests."""
        from coverage import CoverageData, CoverageException

        arcs: dict[str, set[tuple[int, int]]] = defaultdict(set)
        lines: dict[str, dict[int, set[int]]] = defaultdict(lambda: defaultdict(set))

        def add(data: CoverageData) -> None:
            data.set_query_contexts(["^$", f"^{re.escape(tests)} "])
            for file in sorted(data.measured_files()):
                name = Path(file).relative_to(ROOT).as_posix()
                arcs[name].update(data.arcs(file) or ())
                for line, within in data.contexts_by_lineno(file).items():
                    if line > 0 and any(within):
                        numbers = (int(one.rpartition(" ")[2]) for one in within if one)
                        lines[name][line].update(numbers)

        add(self.tracer.get_data())
        for path in self.beside.glob("reached.*"):
            data = CoverageData(str(path))
            with suppress(CoverageException):  # it is being written
                data.read()
                add(data)
                data.close(force=True)
                path.unlink()
        return {"tests": self.tests, "took": self.took, "failed": sorted(self.failed),
                "arcs": {name: sorted(found) for name, found in arcs.items()},
                "lines": {name: {line: sorted(found) for line, found in of.items()}
                          for name, of in lines.items()}}  # fmt: skip

    def _write(self, tests: str) -> None:
        to = Path(self.to[tests])
        half = to.with_suffix(".half")
        half.write_text(json.dumps(self._found(tests)), encoding="utf-8")
        half.replace(to)
        os.write(_TERMINAL, f"{tests}: {sum(self.took):.0f} s\n".encode())
        self._begin()


@pytest.hookimpl(tryfirst=True)
def pytest_load_initial_conftests(early_config: pytest.Config) -> None:
    """Begin, before a conftest imports anything of the program."""
    folders, to = os.environ["TRACED"].split(","), json.loads(os.environ["TRACED_TO"])
    beside = Path(os.environ["TRACED_BESIDE"])
    early_config.pluginmanager.register(TracedTests(folders, to, beside))
