"""What holds for every test: a journal that is open is opened by nothing but SQLite, an example has
no time limit, and the schema of new journals is made once a run."""

from __future__ import annotations

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

from journal.keeping import file, is_open
from journal.keeping.origin import give_origin
from journal.keeping.sums import add_sums

# A busy machine, or the first conversion of a run that also makes the registry, is no fault.
settings.register_profile("unhurried", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("unhurried")

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
    model, build = tmp_path_factory.mktemp("schema") / "model.vatside", file.build

    def copied(path: Path, settings: Mapping[str, str]) -> None:
        if not model.exists():
            build(model, {})
        shutil.copyfile(model, path)
        with closing(sqlite3.connect(path)) as db, db:
            db.execute("delete from setting")
            give_origin(db)
            db.executemany("insert into setting (key, value) values (?, ?)", settings.items())
            add_sums(db)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(file, "build", copied)
        yield
