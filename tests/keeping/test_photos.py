"""Photos are the journal's, whatever its file is called and wherever it lies."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from zlib import crc32

import pytest

from journal.keeping import Journal, KeepingError
from journal.keeping.photos import MARKER, photos_of
from journal.records.makes import Note
from journal.wording import text_of
from tests.keeping.conftest import START

RELEASED = Path(__file__).parent / "released" / "format_1.vatside"
PNG = b"\x89PNG\r\n\x1a\n" + bytes(range(200))


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    (tmp_path / "camera").mkdir()
    path = tmp_path / "camera" / "cut.png"
    path.write_bytes(PNG)
    return path


@pytest.fixture
def path(tmp_path: Path, picture: Path) -> Path:
    """A closed journal with a photo, in a folder of its own."""
    (tmp_path / "kitchen").mkdir()
    return with_photo(tmp_path / "kitchen" / "hill.vatside", picture)


def with_photo(path: Path, picture: Path) -> Path:
    with Journal.create(path, zone="Europe/London") as journal:
        journal.photos.save(Note(START, "clean break"), picture)
    return path


def seen(path: Path, *, read_only: bool = False) -> list[Path]:
    """Where the photos that a journal speaks of lie; all must be there and be what they were."""
    with Journal.open(path, read_only=read_only) as journal:
        assert journal.photos.lost() is None
        assert journal.check() == []
        found = journal.photos.all()
    assert [each.read_bytes() for each in found] == [PNG] * len(found)
    return found


def seen_elsewhere(path: Path) -> str:
    """The same asked in another process, which only reads."""
    code = (
        "import sys; from journal.keeping import Journal\n"
        "with Journal.open(sys.argv[1], read_only=True) as j: print(*j.photos.all(), sep='\\n')"
    )
    run = subprocess.run([sys.executable, "-c", code, path], capture_output=True, text=True)
    assert run.returncode == 0, run.stderr
    return run.stdout.strip()


def rename(path: Path) -> Path:
    return path.rename(path.with_name("vale.vatside"))


def link(path: Path) -> Path:
    (path.parent.parent / "desk").mkdir()
    by = path.parent.parent / "desk" / "link.vatside"
    by.symlink_to(path)
    return by


def link_hard(path: Path) -> Path:
    os.link(path, path.with_name("again.vatside"))
    return path.with_name("again.vatside")


def copy_beside(path: Path) -> Path:
    return Path(shutil.copy(path, path.with_name("copy.vatside")))


def copy_elsewhere(path: Path) -> Path:
    (path.parent.parent / "stick").mkdir()
    return Path(shutil.copy(path, path.parent.parent / "stick"))


def move_alone(path: Path) -> Path:
    (path.parent.parent / "stick").mkdir()
    return Path(shutil.move(path, path.parent.parent / "stick"))


def move_whole_folder(path: Path) -> Path:
    return path.parent.rename(path.parent.with_name("larder")) / path.name


WAYS = (rename, link, link_hard, copy_beside, copy_elsewhere, move_alone, move_whole_folder)


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.__name__)
def test_a_journal_finds_its_photos_however_it_is_reached(path, picture, way: Callable) -> None:
    there = way(path)
    first = seen_elsewhere(there)
    assert first == str(seen(there, read_only=True)[0])
    with Journal.open(there) as journal:
        journal.photos.save(Note(START + 1, "cut"), picture)
    assert len(seen(there)) == 2
    assert len(seen_elsewhere(there).splitlines()) == 2
    if path.exists() and there.is_symlink():
        assert len(seen(path)) == 2
    elif path.exists():
        assert len(seen(path)) == (2 if os.path.samefile(path, there) else 1)


@pytest.mark.parametrize(("lies_there", "free"), [(".DS_Store", True), ("holiday.jpg", False)])
def test_photos_go_into_no_folder_in_which_somebody_has_put_something(
    tmp_path, picture, lies_there, free
) -> None:
    path = tmp_path / "hill.vatside"
    photos_of(path).mkdir()
    (photos_of(path) / lies_there).write_bytes(PNG)
    (photo,) = seen(with_photo(path, picture))
    assert (photo.parent == photos_of(path)) is free
    assert f"{crc32(PNG):08x}" in photo.name, "by which a damaged one is known"
    assert (photos_of(path) / lies_there).read_bytes() == PNG
    assert free or [one.name for one in photos_of(path).iterdir()] == [lies_there]


def test_a_renamed_journal_takes_its_folder_along_only_from_a_name_that_is_free(path) -> None:
    there = rename(path)
    assert seen(there)[0].parent == photos_of(there)
    assert not photos_of(path).exists()
    other = copy_beside(there)
    shutil.move(there, path)
    assert seen(path)[0].parent == photos_of(path)
    assert seen(other)[0].parent == photos_of(path)
    shutil.copy(path, there)
    assert seen(there)[0].parent == photos_of(path)


def test_a_window_goes_on_when_another_program_took_the_folder_along(path, picture) -> None:
    with Journal.open(path) as window:
        name = window.photos.all()[0].name
        photos_of(path).rename(path.with_name("vale.vatside.photos"))
        assert window.photos.file(name) == path.with_name("vale.vatside.photos") / name
        new = window.photos.bring(picture)
        assert window.photos.file(new).read_bytes() == PNG


def test_a_sentence_says_where_the_photos_were(path) -> None:
    there = move_whole_folder(path)
    seen(there)
    was = photos_of(there)
    shutil.move(was, there.parent.parent / "camera" / "photos")
    with Journal.open(there) as journal:
        output = journal.photos.lost()
        assert journal.check() == [output]
        assert output.values == {"folder": str(was), "photos": 1}
        assert str(was) in text_of(output)
    shutil.move(there.parent.parent / "camera" / "photos", there.parent / "any name.photos")
    assert len(seen(there)) == 1


def test_two_journals_never_share_a_folder(path, picture) -> None:
    path.unlink()
    with Journal.create(path) as new:
        assert new.photos.lost() is None
        new.photos.save(Note(START, "another kitchen"), picture)
        assert new.photos.folder.name == "hill.vatside-2.photos"
    assert [each.parent.name for each in seen(path)] == ["hill.vatside-2.photos"]
    assert len(list(photos_of(path).glob("*.png"))) == 1
    with Journal.open(path) as new:
        new.save_copy(path.with_name("hill copy.vatside"))
    assert len(seen(path.with_name("hill copy.vatside"))) == 1


@pytest.mark.parametrize("name", ["vale.vatside", "format_1.vatside"])
def test_a_folder_of_format_1_has_no_marker_and_is_found_by_what_lies_in_it(tmp_path, name) -> None:
    shutil.copy(RELEASED, tmp_path / name)
    shutil.copytree(photos_of(RELEASED), tmp_path / "format_1.vatside.photos")
    strange = tmp_path / "a.photos"
    strange.mkdir()
    (strange / "sheep.png").write_bytes(PNG)
    with Journal.open(tmp_path / name) as journal:
        assert len(journal.photos.all()) == 1
        assert journal.check() == []
        assert (photos_of(tmp_path / name) / MARKER).read_text().strip() == journal.origin
        assert journal.photos.file("sheep.png") is None
    assert not (strange / MARKER).exists()


def test_copies_of_an_older_journal_are_of_one_origin(tmp_path) -> None:
    origins = set()
    for name in ("a.vatside", "b.vatside"):
        with Journal.open(shutil.copy(RELEASED, tmp_path / name)) as journal:
            origins.add(journal.origin)
    with Journal.create(tmp_path / "new.vatside") as journal:
        assert len(origins | {journal.origin, ""}) == 3


def test_no_name_leads_out_of_the_folder(path, picture) -> None:
    with Journal.open(path) as journal:
        folder = journal.photos.folder
        (folder / "link.png").symlink_to(picture)
        for name in ("../../camera/cut.png", str(picture), "..", ".", "link.png", "\0", ""):
            assert journal.photos.file(name) is None


def test_in_a_folder_that_cannot_be_written_they_are_seen_and_nothing_is_left(path, tmp_path):
    before = sorted(path.parent.rglob("*"))
    path.parent.chmod(0o555)
    try:
        assert len(seen(path, read_only=True)) == 1
    finally:
        path.parent.chmod(0o755)
    assert sorted(path.parent.rglob("*")) == before


def test_a_backup_and_a_restored_journal_have_them_after_a_renaming(path) -> None:
    from journal.keeping.backups import restore

    there = rename(path)
    with Journal.open(there) as journal:
        made = journal.back_up(START)
        shutil.rmtree(journal.photos.folder)
    assert [each.parent for each in seen(made.path)] == [photos_of(made.path)]
    restore(there, made.path, START + 1000)
    assert [each.parent for each in seen(there)] == [photos_of(there)]


def test_a_photo_that_cannot_be_saved_is_said_and_nothing_is_kept(path, picture) -> None:
    shutil.rmtree(photos_of(path))
    photos_of(path).write_text("a file where the folder should be")
    with Journal.open(path) as journal:
        journal.photos.save(Note(START + 1, "cut"), picture)
        assert journal.photos.folder.name == "hill.vatside-2.photos"
        with pytest.raises(KeepingError) as refused:
            journal.photos.save(Note(START + 2, "nothing"), path.parent / "missing.png")
        assert refused.value.id == "keeping.photo-not-copied"
        assert [note.text for note in journal.notes.all()] == ["clean break", "cut"]
    with closing(sqlite3.connect(path)) as db:
        assert db.execute("select count(*) from setting where key = 'uuid'").fetchone() == (1,)
