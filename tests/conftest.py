"""What holds for every test: a journal that is open is opened by nothing but SQLite, an example has
no time limit, and the schema of new journals is made once a run. And what keeps a run short: the
files of the tests lie in memory where there is room, and what was loaded is not looked through for
rubbish again and again."""

from __future__ import annotations

import gc
import os
import shutil
import sqlite3
import sys
import traceback
from collections.abc import Iterator, Mapping
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from journal.keeping import is_open, moving_on
from journal.keeping.origin import give_origin
from journal.keeping.sums import SUM, _writing, row_sum
from tests import present

# A busy machine, or the first conversion of a run that also makes the registry, is no fault.
settings.register_profile("unhurried", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("unhurried")

# A disk is waited for at each change that is kept, however little is at stake in a test. The same
# files in memory need no wait, and all of them together need less than this many bytes.
MEMORY, ROOM = Path("/dev/shm"), 3 << 30
if os.access(MEMORY, os.W_OK) and shutil.disk_usage(MEMORY).free > ROOM:
    os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", str(MEMORY))

gc.disable()  # until all is loaded


def pytest_collection_finish() -> None:
    """As in the program once its window stands, rubbish is not looked for in what is loaded; and
    it is looked for less often, for a test leaves little."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(10_000, 10, 10)
    gc.enable()


_opened: list[str] = []


def _hear(event: str, args: tuple[object, ...]) -> None:
    if event == "open" and isinstance(args[0], str | bytes | os.PathLike) and is_open(args[0]):
        _opened.append(f"{args[0]!r}\n{''.join(traceback.format_stack(limit=6)[:-1])}")


sys.addaudithook(_hear)


@pytest.fixture(autouse=True)
def _locks_stay() -> Iterator[None]:
    """Fails a test in which the program, or the test, opens the file of an open journal: closing
    it again would take every lock of this process away."""
    _opened.clear()
    yield
    assert not _opened, f"An open journal was opened by other means: {_opened[0]}"


@pytest.fixture(autouse=True, scope="session")
def _one_schema(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """The steps that make a schema take most of the time of a new journal: they are taken once by
    the program, and each new journal begins as a copy of that file."""
    model, build = tmp_path_factory.mktemp("schema") / "model.vatside", moving_on.build

    def copied(path: Path, settings: Mapping[str, str]) -> None:
        if not model.exists():
            build(model, {})
        shutil.copyfile(model, path)
        with closing(sqlite3.connect(path)) as db, db:
            db.execute("delete from setting")
            give_origin(db)
            db.executemany("insert into setting (key, value) values (?, ?)", settings.items())
            sum_settings(db)

    def sum_settings(db: sqlite3.Connection) -> None:
        """The only rows that have no sum yet."""
        columns = dict(db.execute("select name, type from pragma_table_info('setting')"))
        del columns[SUM]
        db.create_function("row_sum", -1, row_sum, deterministic=True)
        db.execute(f'update setting set "{SUM}" = row_sum({_writing("setting", columns)})')

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(moving_on, "build", copied)
        yield


@pytest.fixture(scope="session")
def sample_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample journal, written once."""
    from journal.sample import write_sample

    path = tmp_path_factory.mktemp("sample") / "hollow-lane.vatside"
    write_sample(path, now_ms=present.NOW)
    return path
