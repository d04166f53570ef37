"""An export made a journal again, row by row."""

from __future__ import annotations

import json
import shutil
from base64 import b64decode
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from journal.exchange import ExchangeError
from journal.exchange.export import ROWS, WHOLE
from journal.keeping import Journal
from journal.keeping.file import sync
from journal.keeping.photos import mark, own_folder
from journal.keeping.whole_tables import write_tables

_LONGEST = 256 * 1024 * 1024  # characters of a line


def import_export(path: str | Path, folder: str | Path) -> None:
    """Make a new journal at `path` of an export: every table row by row, ids and deleted rows and
    the history included, and the photos.

    Raises
    ------
    ExchangeError
        When the folder is no whole export, or not of this program's format; nothing is left then.
    KeepingError
        When the journal is there already, cannot be written, or would not be sound.
    """
    where, out = Path(folder), Path(path)
    if not (where / WHOLE).is_file():
        raise ExchangeError("exchange.no-export", folder=where, file=WHOLE)
    if not (where / ROWS).is_dir():
        raise ExchangeError("exchange.export-without-rows", folder=where, rows=ROWS)

    write_tables(out, lambda table, columns: _rows(where / ROWS / f"{table}.jsonl", columns))
    try:
        _bring_photos(where / "photos", out)
    except OSError as error:
        raise ExchangeError("exchange.photos-not-copied", why=error) from error


def _rows(path: Path, columns: list[str]) -> Iterator[list[Any]]:
    try:
        with path.open(encoding="utf-8") as file:
            for number, line in enumerate(iter(lambda: file.readline(_LONGEST), "")):
                row = json.loads(line)
                if number == 0 and row != columns:
                    raise ExchangeError("exchange.other-version", file=path.name)
                if len(row) != len(columns):
                    raise ExchangeError("exchange.line-damaged", file=path.name, line=number + 1)
                if number:
                    yield [_value(value) for value in row]
    except (OSError, ValueError, TypeError, KeyError, RecursionError) as error:
        if isinstance(error, ExchangeError):
            raise
        raise ExchangeError("exchange.missing-or-damaged", file=path.name) from error


def _value(value: Any) -> Any:
    return b64decode(value["base64"], validate=True) if isinstance(value, dict) else value


def _bring_photos(photos: Path, out: Path) -> None:
    found = sorted(p for p in photos.iterdir() if p.is_file()) if photos.is_dir() else []
    if not found:
        return
    with Journal.open(out, read_only=True) as journal:
        origin = journal.setting("uuid") or ""
    folder = own_folder(out, origin)
    folder.mkdir(exist_ok=True)
    mark(folder, origin)
    for photo in found:
        if not photo.is_symlink():
            shutil.copyfile(photo, folder / photo.name)
            sync(folder / photo.name)
    sync(folder)
