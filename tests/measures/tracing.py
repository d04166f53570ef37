"""A plugin of pytest that notes which lines and branches each test reaches, and its time.

`covered.py` loads it, and says by `TRACED_TO` where to write that, by `TRACED` of which folders.
"""

from __future__ import annotations

import json
import os
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]


class TracedTests:
    """One run of pytest under coverage.py; each test is a context of its own."""

    def __init__(self, folders: list[str]) -> None:
        from coverage import Coverage

        self.tracer = Coverage(data_file=None, branch=True, config_file=False, source=folders)
        self.tracer.start()
        self.tests: list[str] = []
        self.took: list[float] = []
        self.failed: set[str] = set()

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """What runs from here on is this test's."""
        self.tracer.switch_context(str(len(self.tests)))
        begun = time.monotonic()
        try:
            return (yield)  # type: ignore[return-value]
        finally:
            self.tests.append(item.nodeid)
            self.took.append(round(time.monotonic() - begun, 3))
            self.tracer.switch_context("")

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """What fails of itself tells nothing of a mutant."""
        if report.failed:
            self.failed.add(report.nodeid)

    def found(self) -> dict[str, Any]:
        """All that was reached: the arcs of each file, and of each line the tests."""
        self.tracer.stop()
        data = self.tracer.get_data()
        arcs, lines = {}, {}
        for file in sorted(data.measured_files()):
            name = Path(file).relative_to(ROOT).as_posix()
            data.set_query_contexts(None)
            arcs[name] = sorted(data.arcs(file) or ())
            lines[name] = {
                line: sorted(int(one) for one in tests if one)
                for line, tests in data.contexts_by_lineno(file).items()
                if line > 0 and any(tests)
            }
        return {"tests": self.tests, "took": self.took, "failed": sorted(self.failed),
                "arcs": arcs, "lines": lines}  # fmt: skip

    def pytest_unconfigure(self) -> None:
        """Write it."""
        to = Path(os.environ["TRACED_TO"])
        half = to.with_suffix(".half")
        half.write_text(json.dumps(self.found()), encoding="utf-8")
        half.replace(to)


@pytest.hookimpl(tryfirst=True)
def pytest_load_initial_conftests(early_config: pytest.Config) -> None:
    """Begin, before a conftest imports anything of the program."""
    early_config.pluginmanager.register(TracedTests(os.environ["TRACED"].split(",")))
