"""Tries the program with one change in it: a process that has imported all that is not the
program's forks a child for each change, which imports the program, changed, and runs tests.

The change is put in as the module is imported: no file is written, and a process that a test starts
meets it too, by the `sitecustomize` that `PYTHONPATH` leads it to (`CHANGED` says which change).
"""

from __future__ import annotations

import importlib
import json
import os
import signal
import sys
import tempfile
import time
from contextlib import suppress
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec, SourceFileLoader
from importlib.util import spec_from_file_location
from pathlib import Path
from types import CodeType, ModuleType

ROOT = Path(__file__).resolve().parents[2]
PATIENCE, LEAST_S = 10, 60.0  # times what the tests take on the program as it is, and at least
IDLE = 20  # times that, where it is not the processor that is busy: the machine may be
PASSED, FAILED, BROKEN, HUNG, LOST = "passed", "failed", "import", "hung", "tests lost"
NOTICED = {FAILED, BROKEN, HUNG}
_CODES = {0: PASSED, 1: FAILED, 2: FAILED, 3: FAILED, 10: BROKEN}
_ALWAYS = ("journal.keeping", "journal.command")
_OWN = ("journal", "tests", "conftest")
_POLL_S = 0.02
Change = tuple[str, int, int, str]  # a file, from where, to where, and what stands there instead


class ChangedSource(SourceFileLoader):
    """Compiles a module's text with the change in it."""

    def __init__(self, name: str, change: Change) -> None:
        super().__init__(name, change[0])
        self._change = change

    def get_code(self, fullname: str) -> CodeType:
        path, begin, end, text = self._change
        raw = Path(path).read_bytes()
        return compile(raw[:begin] + text.encode() + raw[end:], path, "exec", dont_inherit=True)


class ChangedModule(MetaPathFinder):
    """Finds that one module."""

    def __init__(self, change: Change) -> None:
        parts = Path(change[0]).relative_to(ROOT).with_suffix("").parts
        self.name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        self._change = change

    def find_spec(
        self, name: str, path: object = None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        """The module with the change in it; None for any other."""
        if name != self.name:
            return None
        where = self._change[0]
        inside = [str(Path(where).parent)] if where.endswith("__init__.py") else None
        loader = ChangedSource(name, self._change)
        return spec_from_file_location(
            name, where, loader=loader, submodule_search_locations=inside
        )


def put_in() -> None:
    """Put the change in that the environment names."""
    if change := os.environ.get("CHANGED"):
        sys.meta_path.insert(0, ChangedModule(tuple(json.loads(change))))


class Preloaded:
    """A process from which children fork; it never imports anything of the program."""

    def __init__(self) -> None:
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
        for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS"):
            os.environ.setdefault(name, "1")  # a fork has one thread
        self._folder = tempfile.TemporaryDirectory()
        say = f"import sys; sys.path.append({str(ROOT)!r})\nfrom tests.measures import trying\n"
        (Path(self._folder.name) / "sitecustomize.py").write_text(f"{say}trying.put_in()\n")
        self._is_ready = False

    def run(self, change: Change | None, tests: list[str], usual_s: float) -> str:
        """Run tests on the program with a change; says how that ended."""
        if not self._is_ready:
            self._preload(sorted({test.split("::")[0] for test in tests}))
        child = os.fork()
        if child == 0:
            os.setsid()
            os._exit(self._in_child(change, ["-x", *tests]))
        return self._awaited(child, max(LEAST_S, PATIENCE * usual_s))

    def _preload(self, files: list[str]) -> None:
        """Import what a child, which only collects these files, imports of others."""
        out = Path(self._folder.name) / "imported.json"
        child = os.fork()
        if child == 0:
            os.setsid()
            self._in_child(None, ["--collect-only", *files])
            names = [name for name in sys.modules if name.split(".")[0] not in _OWN]
            out.write_text(json.dumps(names), encoding="utf-8")
            os._exit(0)
        self._awaited(child, 600)
        for name in json.loads(out.read_text(encoding="utf-8")):
            if name not in sys.modules:
                with suppress(Exception):
                    importlib.import_module(name)
        self._is_ready = True

    def _in_child(self, change: Change | None, words: list[str]) -> int:
        nowhere = os.open(os.devnull, os.O_RDWR)
        for handle in (0, 1, 2):
            os.dup2(nowhere, handle)
        os.chdir(ROOT)
        if change is not None:
            os.environ["CHANGED"] = json.dumps(change)
            before = os.environ.get("PYTHONPATH")
            os.environ["PYTHONPATH"] = os.pathsep.join(filter(None, (self._folder.name, before)))
            put_in()
            try:
                for name in (*_ALWAYS, ChangedModule(change).name):
                    importlib.import_module(name)
            except BaseException:  # noqa: BLE001 - however it fails, that is seen at once
                return 10
        import pytest

        fixed = ["-q", "-p", "no:cacheprovider", "-W", "ignore::pytest.PytestAssertRewriteWarning"]
        return int(pytest.main([*fixed, *words]))

    @staticmethod
    def _awaited(child: int, patience_s: float) -> str:
        ends = time.monotonic() + IDLE * patience_s
        while time.monotonic() < ends and _reckoned_s(child) < patience_s:
            done, status = os.waitpid(child, os.WNOHANG)
            if done:
                with suppress(ProcessLookupError):
                    os.killpg(child, signal.SIGKILL)  # what it started
                code = os.waitstatus_to_exitcode(status)
                return FAILED if code < 0 else _CODES.get(code, LOST)
            time.sleep(_POLL_S)
        with suppress(ProcessLookupError):
            os.killpg(child, signal.SIGKILL)
        os.waitpid(child, 0)
        return HUNG


def _reckoned_s(child: int) -> float:
    """How long a process and those that it waited for had the processor; 0 where the system does
    not say."""
    try:
        found = Path(f"/proc/{child}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    except OSError:
        return 0.0
    return sum(map(int, found[11:15])) / os.sysconf("SC_CLK_TCK")
