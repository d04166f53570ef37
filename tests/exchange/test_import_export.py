"""An export is a whole journal: made one again, every row is the same."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from journal.exchange import ExchangeError
from journal.exchange.export import export_journal
from journal.exchange.import_export import import_export
from journal.keeping import Journal, KeepingError
from journal.records.makes import Note
from journal.sample import write_sample
from tests.present import NOW
from tests.siege.damages import rows_of

PNG = b"\x89PNG\r\n\x1a\n" + bytes(range(200))


@pytest.fixture(scope="module")
def exported(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A sample with a photo, a deleted note, a deleted make, an undone act; and its export."""
    folder = tmp_path_factory.mktemp("exported")
    path, out = folder / "hollow.vatside", folder / "out"
    write_sample(path, makes=3, readings_per_make=9000, now_ms=NOW)
    (folder / "camera.png").write_bytes(PNG)
    with Journal.open(path) as journal:
        makes = journal.makes.rows()
        kept = journal.photos.save(
            Note(makes[0].started_ms, "curd", makes[0].id), folder / "camera.png"
        )
        journal.notes.remove(kept.id or 0)
        journal.outcomes.delete(makes[1].id)
        journal.readings.log(makes[0].id, "milk-temp", 31.1, makes[0].started_ms)
        journal.undo()
        export_journal(journal, out)
    return path, out


def test_every_row_of_every_table_comes_back(exported: tuple[Path, Path], tmp_path: Path) -> None:
    path, out = exported
    again = tmp_path / "again.vatside"
    import_export(again, out)
    assert [one.name for one in tmp_path.iterdir() if one.name.startswith(".")] == []
    before, after = rows_of(path), rows_of(again)
    assert {table for table, rows in before.items() if rows} >= {"bin", "reading_block", "history"}
    assert after == before
    with Journal.open(again) as journal:
        assert journal.check() == []
        assert journal.undo_name is not None
        journal.outcomes.undelete(journal.outcomes.deleted()[0])
        assert PNG in [photo.read_bytes() for photo in journal.photos.lying()]


def test_an_export_of_an_import_is_the_same(exported: tuple[Path, Path], tmp_path: Path) -> None:
    again = tmp_path / "again.vatside"
    import_export(again, exported[1])
    with Journal.open(again, read_only=True) as journal:
        written = export_journal(journal, tmp_path / "out")
    for each in written:
        assert (tmp_path / "out" / each).read_bytes() == (exported[1] / each).read_bytes(), each


@pytest.mark.parametrize("fault", ["cut", "changed", "missing", "twice", "other", "columns"])
def test_a_damaged_export_makes_no_journal(
    exported: tuple[Path, Path], tmp_path: Path, fault: str
) -> None:
    folder, new = tmp_path / "out", tmp_path / "new.vatside"
    shutil.copytree(exported[1], folder)
    path = folder / "rows" / "make.jsonl"
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    if fault == "cut":
        path.write_text("".join(lines)[:-20], encoding="utf-8")
    elif fault == "changed":
        row = json.loads(lines[1])
        path.write_text("".join(lines).replace(json.dumps(row[1]), '"HL-0099"'), encoding="utf-8")
    elif fault == "missing":
        path.unlink()
    elif fault == "twice":
        path.write_text("".join([*lines, lines[1]]), encoding="utf-8")
    elif fault == "other":
        shutil.rmtree(folder / "rows")
    else:
        path.write_text("".join(['["id"]\n', *lines[1:]]), encoding="utf-8")
    with pytest.raises((ExchangeError, KeepingError)):
        import_export(new, folder)
    assert [one.name for one in tmp_path.iterdir()] == ["out"]


def test_no_journal_is_written_over_and_none_made_of_a_blind_export(
    exported: tuple[Path, Path], tmp_path: Path
) -> None:
    path, out = exported
    with pytest.raises(KeepingError):
        import_export(path, out)
    with Journal.open(path, read_only=True) as journal:
        export_journal(journal, tmp_path / "blind", blind=True)
    with pytest.raises(ExchangeError, match=r"exchange.export-without-rows"):
        import_export(tmp_path / "new.vatside", tmp_path / "blind")
