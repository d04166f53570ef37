"""A file renamed, deleted or replaced while it is open: noticed before anything is written."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from journal.keeping import Journal, KeepingError
from journal.keeping.wal import wal_of
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage
from tests.refusals import refused

pytestmark = pytest.mark.skipif(os.name == "nt", reason="what is open cannot be renamed there")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "kitchen.vatside"
    with Journal.create(path) as journal:
        journal.makes.begin(Plan("p", (Stage("warm", 30, target_c=31.0),)), Milk(10.0), 1000)
    return path


@pytest.fixture
def opened(path: Path) -> Iterator[Journal]:
    """A journal with a reading that is not folded into its file yet."""
    with Journal.open(path) as journal:
        log(journal, 31.5)
        yield journal


def log(journal: Journal, value: float) -> None:
    journal.readings.log(1, "milk-temp", value, 1_000_000 + round(1000 * value))


def values(path: Path) -> list[float]:
    with Journal.open(path, read_only=True) as journal:
        assert journal.check() == []
        return journal.readings.trace(1, "milk-temp").value.round(3).tolist()


def command(*words: object) -> str:
    """What a command says, of either stream."""
    done = subprocess.run(
        [sys.executable, "-m", "journal.command", *map(str, words)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    return done.stdout + done.stderr


def test_a_renamed_file_is_noticed_and_has_all(opened: Journal, path: Path) -> None:
    now = path.rename(path.with_name("dairy.vatside"))
    with refused(KeepingError, "keeping.renamed-while-open", now=str(now)):
        log(opened, 31.6)
    assert opened.gone().id == "keeping.renamed-while-open"
    assert opened.now_at() == now
    opened.close()
    assert values(now) == [31.5]
    assert [entry.name for entry in path.parent.iterdir()] == [now.name]


def test_one_that_gets_its_name_back_is_gone_on_with(opened: Journal, path: Path) -> None:
    now = path.rename(path.with_name("dairy.vatside"))
    with refused(KeepingError, "keeping.renamed-while-open"):
        opened.undo()
    now.rename(path)
    assert opened.gone() is None
    log(opened, 31.6)
    opened.close()
    assert values(path) == [31.5, 31.6]


def test_a_deleted_file_can_be_saved_as_a_copy(opened: Journal, path: Path) -> None:
    path.unlink()
    with refused(KeepingError, "keeping.deleted-while-open"):
        log(opened, 31.6)
    assert opened.readings.trace(1, "milk-temp").value.tolist() == [31.5]
    opened.save_copy(path.with_name("again.vatside"))
    opened.close()
    assert values(path.with_name("again.vatside")) == [31.5]


def test_a_file_whose_folder_is_gone_is_said(opened: Journal, path: Path, tmp_path: Path) -> None:
    (tmp_path / "deeper").mkdir()
    path.rename(tmp_path / "deeper" / path.name)
    now = tmp_path / "deeper" / path.name
    with pytest.raises(KeepingError) as caught:
        log(opened, 31.6)
    announced = (
        "keeping.renamed-while-open" if sys.platform == "linux" else "keeping.deleted-while-open"
    )
    assert caught.value.id == announced
    opened.close()
    assert values(now) == [31.5]


def test_a_replaced_file_is_neither_written_nor_mixed(
    opened: Journal, path: Path, tmp_path: Path
) -> None:
    older = tmp_path / "older copy"
    opened.save_copy(older)
    log(opened, 31.6)
    older.replace(path)
    with refused(KeepingError, "keeping.replaced-while-open"):
        log(opened, 31.7)
    opened.close()
    output = command("log", path, "latest", "milk-temp", "20.5")
    assert "were not used" in output
    assert "Saved" in output
    assert values(path) == [31.5, 20.5]


def test_what_another_program_writes_to_the_new_file_is_not_taken_away(
    opened: Journal, path: Path, tmp_path: Path
) -> None:
    """Its -wal has the name that the other's had."""
    older = tmp_path / "older copy"
    opened.save_copy(older)
    log(opened, 31.6)
    older.replace(path)
    say = (
        "import sys\nfrom journal.keeping import Journal\n"
        "journal = Journal.open(sys.argv[1])\n"
        "print(journal.remarks[0].id, flush=True)\n"
        "journal.readings.log(1, 'milk-temp', 20.5, 2_000_000)\n"
        "print('kept', flush=True)\nsys.stdin.readline()\n"
        "journal.readings.log(1, 'milk-temp', 20.6, 2_001_000)\n"
    )
    other = subprocess.Popen(
        [sys.executable, "-c", say, str(path)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert other.stdout.readline() == "keeping.other-changes-set-aside\n"
    assert other.stdout.readline() == "kept\n"
    with refused(KeepingError, "keeping.replaced-while-open"):
        log(opened, 31.7)
    beside = wal_of(path).stat().st_ino
    opened.close()
    assert wal_of(path).stat().st_ino == beside
    other.communicate("\n", timeout=60)
    assert values(path) == [31.5, 20.5, 20.6]


def test_no_other_name_is_opened_beside_it(opened: Journal, path: Path) -> None:
    """Two names have two -wal: here as in another program."""
    link = path.with_name("link.vatside")
    os.link(path, link)
    with refused(KeepingError, "keeping.open-under-other-name"):
        Journal.open(link)
    assert "open under another name" in command("makes", link)
    assert "open under another name" in command("log", link, "latest", "milk-temp", "20.5")
    assert not wal_of(link).exists()
    opened.close()
    assert "31.5" not in command("makes", link)
    assert values(link) == [31.5]


def test_what_is_let_go_is_written_to_the_file_it_was(opened: Journal, path: Path) -> None:
    now = path.rename(path.with_name("dairy.vatside"))
    opened.release()
    opened.set_setting("zone", "Europe/Rome")
    opened.close()
    with Journal.open(now) as again:
        assert again.zone == "Europe/Rome"
        assert again.check() == []


# Written over: the file has its name still, and is another one inside (`cp`)


def cp(here: Path, there: Path) -> bytes:
    """Copy over a file, by another program; what lies there then."""
    subprocess.run(["cp", str(here), str(there)], check=True)
    return here.read_bytes()


@pytest.fixture
def older(path: Path) -> Path:
    """A copy of the closed file, of before."""
    copy = path.with_name("older.vatside")
    cp(path, copy)
    return copy


def aside(path: Path) -> list[Path]:
    return [*path.parent.glob(f"{path.name}-wal-*")]


@pytest.mark.parametrize("acts", [False, True])
def test_an_older_copy_laid_over_an_open_file_is_noticed_and_stays_what_it_is(
    older: Path, opened: Journal, path: Path, acts: bool
) -> None:
    assert opened.fold()
    log(opened, 31.55)
    set_up = cp(older, path)
    if acts:
        with refused(KeepingError, "keeping.replaced-while-open"):
            log(opened, 31.6)
        with refused(KeepingError, "keeping.replaced-while-open"):
            opened.undo()
        assert path.read_bytes() == set_up, "it is a file of its own by now"
    opened.close()
    assert path.read_bytes() == set_up
    with Journal.open(path) as journal:
        assert [one.id for one in journal.remarks] == ["keeping.other-changes-set-aside"]
        log(journal, 32.0)
    assert values(path) == [32.0]
    assert len(aside(path)) == 1


def test_a_copy_of_what_the_file_itself_has_is_no_other(
    older: Path, opened: Journal, path: Path
) -> None:
    cp(older, path)
    log(opened, 31.6)
    opened.close()
    assert values(path) == [31.5, 31.6]


def test_a_copy_that_was_gone_on_with_or_numbered_anew_is_noticed_too(
    older: Path, opened: Journal, path: Path
) -> None:
    with Journal.open(older) as journal:
        for value in (33.0, 33.1, 33.2):
            log(journal, value)
    opened.save_copy(path.with_name("copy.vatside"))
    set_up = cp(older, path)
    with refused(KeepingError, "keeping.replaced-while-open"):
        log(opened, 31.6)
    opened.close()
    assert path.read_bytes() == set_up
    with Journal.open(path) as journal:
        log(journal, 34.0)
        cp(path.with_name("copy.vatside"), path)
        with refused(KeepingError, "keeping.replaced-while-open"):
            log(journal, 34.1)
    assert values(path) == [31.5]


def test_a_command_beside_a_window_over_whose_file_another_was_laid_writes_nothing(
    older: Path, opened: Journal, path: Path
) -> None:
    opened.fold()
    log(opened, 31.55)
    set_up = cp(older, path)
    for words in (("log", path, "latest", "milk-temp", "31.6"), ("makes", path)):
        assert "while another program has it open" in command(*words)
    opened.close()
    assert path.read_bytes() == set_up


def test_what_others_fold_and_restore_is_no_other_file(
    older: Path, opened: Journal, path: Path
) -> None:
    for value in (31.7, 31.8, 31.9):
        output = command("log", path, "latest", "milk-temp", value)
        assert "Saved" in output, output
        log(opened, value + 0.01)
        opened.fold()
    backup = command("backup", path).split("\n")[0]
    log(opened, 35.0)
    assert "is as in" in command("restore", path, backup)
    log(opened, 36.0)
    opened.fold()
    log(opened, 36.1)
    assert opened.gone() is None
    opened.close()
    assert {31.9, 36.0, 36.1} <= set(values(path))
    assert 35.0 not in values(path)
    assert aside(path) == []
