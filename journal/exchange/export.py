"""Everything in a journal as plain CSV and JSON files in a folder."""

from __future__ import annotations

import csv
import json
import shutil
import tempfile
from base64 import b64encode
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict
from itertools import chain
from pathlib import Path
from typing import IO, Any

import numpy as np

from journal.exchange import ExchangeError
from journal.exchange.hidden_sessions import without_hidden
from journal.exchange.tables_out import safe_text
from journal.keeping import Journal
from journal.keeping.file import sync
from journal.keeping.leftovers import half_of, take_halves_away
from journal.keeping.rows import NOUNS
from journal.keeping.stopping import Progress, Stop, never, unseen
from journal.records import id_of
from journal.records.dose_written import doses_for_a_litre
from journal.records.instants import iso
from journal.records.makes import Make, Note
from journal.records.plan_text import write_plan
from journal.records.plans import Plan
from journal.records.tastings import SampleNote
from journal.records.traces import STRUCK, Trace
from journal.wording import text_of

FORM = 1
WHOLE = "journal.json"
ROWS = "rows"
# What stays though the make or wheel it names is in the bin: it bears on others too.
_BEARS_ON_OTHERS = {
    ("make", "calibration"), ("make", "brine_stay"), ("wheel", "brine_stay"),
    ("make", "series_make"), ("wheel", "panel_item"),
}  # fmt: skip
_ROWS_DONE, _NOUNS_DONE = 0.3, 0.1  # of the time
_ASK_EVERY = 1000  # rows


def export_journal(
    journal: Journal,
    folder: str | Path,
    *,
    progress: Progress = unseen,
    stop: Stop = never,
    blind: bool = False,
) -> list[Path]:
    """Write every record into `folder`: all of it there at the end, or nothing changed.

    There is one CSV a noun, `readings/MAKE-KIND.csv` for each trace, each version of a plan as
    TOML under `plans/`, the photos under `photos/`, and `journal.json` with all of it. Text that
    a spreadsheet would take for a formula gets an apostrophe before it in the CSV files;
    `journal.json` has it as it is. `rows/TABLE.jsonl` has every table row by row, deleted ones and
    the history with them, for `import_export`. With `blind`, what is still hidden is left out, and
    so is `rows`.

    Returns
    -------
    list of Path
        The files written, relative to `folder`.

    Raises
    ------
    ExchangeError
        When the folder holds other files than those of an earlier export, or cannot be written;
        or the work was stopped.
    """
    where = Path(folder)
    earlier = _earlier(where)
    where.parent.mkdir(parents=True, exist_ok=True)
    try:
        fresh = Path(tempfile.mkdtemp(prefix=f"{half_of(where).name}-", dir=where.parent))
    except OSError as error:
        raise ExchangeError("exchange.folder-not-written", folder=where.parent, why=error) from None
    try:
        written = _ExportWriter(journal, fresh, progress, stop, blind).write()
        fresh.chmod(0o755)
        for path in [*map(fresh.joinpath, written), *filter(Path.is_dir, fresh.iterdir()), fresh]:
            sync(path)
        _put(fresh, where, earlier=earlier)
        sync(where.parent)
        take_halves_away(where.parent, f"{where.name}.")  # an earlier export may be among them
    except OSError as error:
        raise ExchangeError("exchange.export-not-written", why=error) from error
    finally:
        shutil.rmtree(fresh, ignore_errors=True)
    return written


def _earlier(folder: Path) -> bool:
    """Whether an earlier export is there; refuses a folder with anything else in it."""
    if not folder.exists():
        return False
    if not folder.is_dir():
        raise ExchangeError("exchange.export-to-a-file", file=folder)
    there = {p.relative_to(folder).as_posix() for p in folder.rglob("*") if not p.is_dir()}
    if not there:
        return any(folder.iterdir()) or folder.is_dir()
    strange = sorted(there - _listed(folder / WHOLE))
    if strange:
        raise ExchangeError("exchange.strange-files", folder=folder, file=strange[0])
    return True


def _listed(path: Path) -> set[str]:
    """The files an earlier export says it wrote; none when it is no export."""
    try:
        with path.open(encoding="utf-8") as file:
            found = json.load(file)
        return set(map(str, found["files"])) if "vatside_export" in found else set()
    except (OSError, ValueError, KeyError, TypeError):
        return set()


def _put(fresh: Path, where: Path, *, earlier: bool) -> None:
    """Put the new folder in the place of the old one, which goes only when that is done."""
    if not earlier:
        fresh.rename(where)
        return
    aside = fresh.with_name(f"{fresh.name}-before")
    where.rename(aside)
    try:
        fresh.rename(where)
    except OSError:
        aside.rename(where)
        raise
    shutil.rmtree(aside, ignore_errors=True)


class _ExportWriter:
    """Writes one export, file by file."""

    def __init__(
        self,
        journal: Journal,
        folder: Path,
        progress: Progress,
        stop: Stop,
        blind: bool,
    ) -> None:
        self._journal = journal
        self._folder = folder
        self._progress = progress
        self._stop = stop
        self._blind = blind
        self._written: list[Path] = []
        self._makes: dict[int, Make] = {id_of(m): m for m in journal.makes.all()}

    def write(self) -> list[Path]:
        """Write all files; returns them, `journal.json` last."""
        nouns = {keeper.noun: keeper.all() for keeper in self._journal.keepers()}
        nouns = _without_deleted(nouns)
        if self._blind:
            nouns = without_hidden(nouns)
        plans = self._journal.plans.in_use()
        for done, (noun, records) in enumerate(nouns.items()):
            self._go_on(_NOUNS_DONE * done / len(nouns))
            bare = [*NOUNS[noun].columns(), *(["verdict"] if noun == "make" else [])]
            self._csv(f"{noun}.csv", map(self._plain, records), bare)
        self._write_plans(plans)
        self._copy_photos([*nouns["note"], *nouns["sample_note"]])
        if not self._blind:
            self._write_rows()
        self._go_on(_ROWS_DONE)
        whole = self._file(WHOLE)
        with whole.open("w", encoding="utf-8") as file:
            self._write_whole(file, nouns, plans)
        self._written.remove(Path(WHOLE))
        return [*self._written, Path(WHOLE)]

    def _go_on(self, share: float) -> None:
        """Say how far it is; ExchangeError when it is to go no further."""
        if self._stop():
            raise ExchangeError("exchange.export-stopped")
        self._progress(share)

    def _plain(self, record: Any) -> dict[str, Any]:
        """A record's fields; with a make why it must not be eaten."""
        found = asdict(record)
        if isinstance(record, Make):
            text = self._journal.outcomes.verdict(record)
            found["verdict"] = None if text is None else text_of(text.message)
        return found

    def _file(self, name: str) -> Path:
        path = self._folder / name
        path.parent.mkdir(exist_ok=True)
        self._written.append(Path(name))
        return path

    def _csv(self, name: str, rows: Iterable[dict[str, Any]], bare: Sequence[str] = ()) -> None:
        """A table with the columns of its rows; without a row, with those in `bare`."""
        table = [self._row(row) for row in rows]
        with self._file(name).open("w", encoding="utf-8", newline="") as file:
            out = csv.writer(file)
            out.writerow(table[0] if table else bare)
            out.writerows([_cell(value) for value in row.values()] for row in table)

    def _row(self, row: dict[str, Any]) -> dict[str, Any]:
        """Nested parts as columns of their own, and each instant in words beside it."""
        found: dict[str, Any] = {}
        zone = row.get("zone") or self._journal.zone
        for name, value in row.items():
            if isinstance(value, dict):
                found |= {f"{name}_{part}": inner for part, inner in value.items()}
                continue
            found[name] = value
            if name.endswith("_ms"):
                found[f"{name[:-3]}_at"] = _iso_all(value, zone)
        return found

    def _write_plans(self, plans: list[Plan]) -> None:
        rows = []
        for plan in plans:
            row = {name: value for name, value in asdict(plan).items() if name != "care"}
            row["stages"] = len(plan.stages)
            row["taste_notes"] = "; ".join(note for note in plan.taste_notes if note)
            row["taste_at_days"] = " ".join(f"{days:g}" for days in plan.taste_at_days)
            rows.append(row)
            name = f"plans/{_file_name(plan.name)}-{plan.version}-{plan.id}.toml"
            self._file(name).write_text(write_plan(plan), encoding="utf-8")
        self._csv("plan.csv", rows)
        self._csv("stage.csv", _stages(plans))

    def _copy_photos(self, notes: Sequence[Note | SampleNote]) -> None:
        """The photos of these notes, under the names the notes call them by."""
        for path in dict.fromkeys(map(self._journal.photos.path, notes)):
            if path is not None:
                self._go_on(_NOUNS_DONE)
                shutil.copyfile(path, self._file(f"photos/{path.name}"))

    def _write_rows(self) -> None:
        """Every table as lines of JSON: its columns, then a row each, bytes as {"base64": …}."""
        for table, columns, rows in self._journal.tables():
            with self._file(f"{ROWS}/{table}.jsonl").open("w", encoding="utf-8") as file:
                for number, row in enumerate(chain([columns], rows)):
                    if number % _ASK_EVERY == 0:
                        self._go_on(_NOUNS_DONE)
                    file.write(json.dumps(list(row), default=_base64) + "\n")
        for path in self._journal.photos.lying():
            if Path("photos") / path.name not in self._written:
                shutil.copyfile(path, self._file(f"photos/{path.name}"))

    def _write_whole(self, out: IO[str], nouns: dict[str, list[Any]], plans: list[Plan]) -> None:
        """The whole journal as one JSON object, its readings written trace by trace."""
        head = {
            "vatside_export": FORM,
            "letters": self._journal.letters,
            "zone": self._journal.zone,
            "plan": [asdict(plan) for plan in plans],
            **{noun: list(map(self._plain, records)) for noun, records in nouns.items()},
        }
        out.write(json.dumps(head, indent=1, allow_nan=False)[:-2])
        out.write(',\n "reading": [')
        for count, (make, trace, raw) in enumerate(self._traces()):
            self._write_trace(make, trace, raw)
            columns = json.dumps(_columns(make, trace, raw))
            out.write(("" if count == 0 else ",") + "\n  " + columns)
        names = [path.as_posix() for path in self._written]
        out.write(f'\n ],\n "files": {json.dumps(names)}\n}}\n')

    def _traces(self) -> Iterator[tuple[Make, Trace, Trace]]:
        """Every trace as it is read, and as the instruments showed it."""
        for done, (key, make) in enumerate(self._makes.items(), start=1):
            checked = bool(self._journal.readings.checks)
            for kind, trace in self._journal.readings.traces(key).items():
                raw = self._journal.readings.trace(key, kind, raw=True) if checked else trace
                same = raw is trace or bool((raw.value == trace.value).all())
                yield make, trace, trace if same else raw
            self._go_on(_ROWS_DONE + (1 - _ROWS_DONE) * done / len(self._makes))

    def _write_trace(self, make: Make, trace: Trace, raw: Trace) -> None:
        """One trace as rows: the instant in UTC, minutes from the make's start, the value, what
        the instrument showed, and whether a check of it corrected that."""
        at = np.datetime_as_string(trace.at_ms.astype("datetime64[ms]"), unit="ms", timezone="UTC")
        minutes = np.round(trace.minutes_from(make.started_ms), 4)
        struck = (trace.flags & STRUCK != 0).astype(int)
        corrected = (trace.value != raw.value).astype(int)
        name = f"readings/{_file_name(make.code)}-{trace.kind}.csv"
        with self._file(name).open("w", encoding="utf-8", newline="") as file:
            out = csv.writer(file)
            out.writerow(["at_utc", "minutes", "value", "struck", "raw", "corrected"])
            out.writerows(
                zip(
                    at.tolist(),
                    minutes.tolist(),
                    trace.value.tolist(),
                    struck.tolist(),
                    raw.value.tolist(),
                    corrected.tolist(),
                    strict=True,
                )
            )


def _without_deleted(nouns: dict[str, list[Any]]) -> dict[str, list[Any]]:
    """The records by noun without those that belong to a make, wheel, session or test in the bin;
    what bears on others too stays."""
    out = dict(nouns)
    for noun in ("make", "wheel", "tasting", "panel_test", "sample"):
        there = {None, *(one.id for one in out[noun])}
        for other, records in out.items():
            if (noun, other) not in _BEARS_ON_OTHERS:
                out[other] = [one for one in records if getattr(one, f"{noun}_id", None) in there]
    return out


def _stages(plans: list[Plan]) -> Iterator[dict[str, Any]]:
    """Every stage of every plan as a row, its acid target as columns, its doses counted."""
    for plan in plans:
        for position, stage in enumerate(plan.stages):
            row = asdict(stage)
            row["gate"] = row.pop("acid_target") or dict.fromkeys(
                ("kind", "low", "high", "from_min", "to_min")
            )
            row["doses"] = doses_for_a_litre(stage)
            yield {"plan_id": plan.id, "position": position, **row}


def _columns(make: Make, trace: Trace, raw: Trace) -> dict[str, Any]:
    shown = {} if raw is trace else {"raw": raw.value.tolist()}
    return {
        "make": make.code,
        "kind": trace.kind,
        "at_ms": trace.at_ms.tolist(),
        "value": trace.value.tolist(),
        "flags": trace.flags.tolist(),
        **shown,
    }


def _iso_all(at_ms: int | tuple[int, ...] | None, zone: str) -> str | None:
    """An instant, or several with spaces between, as ISO 8601."""
    if at_ms is None:
        return None
    return " ".join(iso(at, zone) for at in (at_ms if isinstance(at_ms, tuple) else (at_ms,)))


def _base64(value: bytes) -> dict[str, str]:
    return {"base64": b64encode(value).decode()}


def _cell(value: Any) -> Any:
    """A value as a CSV cell: nothing for None, several numbers with spaces between, no text that
    a spreadsheet would run."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return int(value)
    if isinstance(value, tuple):
        return " ".join(map(str, value))
    return safe_text(value) if isinstance(value, str) else value


def _file_name(text: str) -> str:
    """The text as a file's name: letters, digits and dashes."""
    plain = "".join(c if c.isalnum() and c.isascii() else "-" for c in text).strip("-")
    return plain[:60] or "plan"
