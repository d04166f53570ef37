"""From a logger's file into a make: what was understood first, then saved as one step."""

from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np

from journal.exchange import ExchangeError
from journal.exchange.doubts import Doubts, doubts_of
from journal.exchange.loggers.cells import NUMBER, mostly, sample_of
from journal.exchange.loggers.headers import kinds_of
from journal.exchange.loggers.mapping import Mapping, find_column
from journal.exchange.loggers.preview import Preview
from journal.exchange.loggers.preview import preview as shown
from journal.exchange.loggers.table import RawTable, read_table
from journal.exchange.loggers.take import LoggerReadings, take
from journal.exchange.loggers.understand import Understood, understand, without
from journal.exchange.skipped import ALREADY
from journal.keeping import Journal
from journal.message import Message
from journal.records import id_of
from journal.records.instants import DAY_MS, now_ms
from journal.records.makes import Make
from journal.records.traces import DOUBTFUL
from journal.wording import text_of, worded

AS_BEFORE = "exchange.as-before"
AIR_KINDS = ("room-temp", "room-humidity")
_LOOKED_AT = 400
_FAR_MS = 14 * DAY_MS
_LONGEST_SOURCE = 80


@dataclass(frozen=True)
class LoggerFile:
    """A file as understood, before anything is saved.

    `taken` is None while a question is open, and `why_not` then says why; `remembered` tells
    whether the mapping came from an earlier file of this shape; `passed_over` are the columns that
    look like readings but were not among those named; `doubts` are the readings that will be
    marked; `air` says which columns hold a room's air.
    """

    understood: Understood
    taken: LoggerReadings | None
    preview: Preview
    remembered: bool = False
    why_not: ExchangeError | None = None
    passed_over: tuple[str, ...] = ()
    doubts: Doubts = field(default_factory=Doubts)
    air: tuple[str, ...] = ()

    @property
    def notes(self) -> tuple[str, ...]:
        """What a person should look at once it is saved, a sentence each."""
        known = (worded(AS_BEFORE),) if self.remembered else ()
        return (*known, *self.understood.doubts, *self.passed_over, *self.air)


@dataclass(frozen=True)
class ImportReport:
    """The result of an import: rows read, values saved and skipped, and why, a count a reason.

    `kept + skipped` is `read` times the columns taken (see `LoggerReadings`); `doubtful` of the
    saved ones are marked. `warnings` are those of the `notes` that a person should not miss.
    """

    read: int
    kept: int
    skipped: int
    doubtful: int = 0
    reasons: dict[str, int] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()


def preview(
    journal: Journal, make: Make, path: str | Path, chosen: Mapping | None = None
) -> LoggerFile:
    """Read a file and say what was understood; nothing is saved.

    Parameters
    ----------
    said
        What a person chose for its columns; the rest is remembered from the last file of the
        same shape, or found in the file.

    Raises
    ------
    ExchangeError
        When the file cannot be read, or what was chosen does not fit it.
    """
    raw = read_table(path)
    known = remembered_mapping(journal, raw.shape)
    chosen = chosen or Mapping()
    understood = understand(raw, _overlaid(raw, chosen, known))
    understood, air_alone = _without_air(understood)
    air = (text_of(air_alone),) if air_alone is not None else ()
    taken, doubts, why_not = None, Doubts(), None
    try:
        _refuse_air_alone(understood, air_alone)
        taken = take(understood, zone=make.zone, start_ms=make.started_ms)
        doubts = doubts_of(journal, make, taken, source_of(Path(path).name))
    except ExchangeError as error:
        why_not = error
    over = _passed_over(raw, chosen, understood)
    view = shown(understood, taken)
    view = replace(view, questions=(*view.questions, *over, *air, *doubts.notes))
    return LoggerFile(understood, taken, view, known is not None, why_not, over, doubts, air)


def _without_air(understood: Understood) -> tuple[Understood, Message | None]:
    """The table without a room's air, which is not of the make, and what to say of that."""
    air = [column for column in understood.columns if column.kind in AIR_KINDS]
    if not air:
        return understood, None
    names = [f"“{column.name}”" for column in air]
    left_out = Message("exchange.air-left-out", names=names, columns=len(air))
    return without(understood, AIR_KINDS), left_out


def _refuse_air_alone(understood: Understood, air: Message | None) -> None:
    """Refuse a file that holds a room's air and nothing else."""
    if air is not None and not understood.readings:
        raise ExchangeError(air, asks="air")


def _passed_over(raw: RawTable, chosen: Mapping, understood: Understood) -> tuple[str, ...]:
    """Sentences on columns that look like readings, where only the columns named are imported."""
    if not chosen.kinds:
        return ()
    named = {find_column(raw.header, name) for name in chosen.kinds}
    free = [c for c in understood.columns if c.role == "left out" and c.index not in named]
    looks = [c for c in free if mostly(sample_of(raw.columns[c.index], _LOOKED_AT)) == NUMBER]
    kinds = kinds_of([column.name for column in looks])
    return tuple(
        worded("exchange.looks-like", name=column.name, kind=kind)
        for column, kind in zip(looks, kinds, strict=True)
        if kind and kind not in AIR_KINDS
    )


def bring_in(
    journal: Journal, make: Make, path: str | Path, chosen: Mapping | None = None
) -> ImportReport:
    """Read a file and save its readings with a make: one step to undo, nothing saved twice.

    The mapping is remembered for the next file of the same shape.

    Raises
    ------
    ExchangeError
        When the file cannot be read or a question is open; nothing is saved then.
    """
    return save_seen(journal, make, preview(journal, make, path, chosen), Path(path).name)


def save_seen(journal: Journal, make: Make, seen: LoggerFile, source: str) -> ImportReport:
    """Save what was seen; `source` names the file the readings came from. Without a backup of the
    day, one is made first."""
    if seen.why_not is not None:
        raise seen.why_not
    taken = seen.taken
    assert taken is not None
    name = source_of(source)
    if journal.backup_due(now_ms()):
        journal.back_up(now_ms())
    doubtful = -_doubtful(journal, make, taken)
    with journal.unit(f"import {name}"):
        kept = sum(
            journal.readings.add_many(
                id_of(make), kind, part.at_ms, part.value, name, seen.doubts.flags(kind)
            )
            for kind, part in taken.series.items()
        )
        remember(journal, seen.understood.mapping)
    reasons = dict(taken.reasons)
    if taken.kept > kept:
        reasons[ALREADY] = taken.kept - kept
    doubtful += _doubtful(journal, make, taken)
    chosen = seen.doubts.notes if doubtful else ()
    far = _far_away(make, taken)
    return ImportReport(
        read=taken.read,
        kept=kept,
        skipped=taken.skipped + taken.kept - kept,
        doubtful=doubtful,
        reasons=reasons,
        notes=(*seen.notes, *taken.notes, *chosen, *far),
        warnings=(*seen.air, *taken.early, *chosen, *far),
    )


def source_of(name: str) -> str:
    """The name of a file as it is saved with its readings."""
    return "".join(c for c in name if c.isprintable())[:_LONGEST_SOURCE]


def _doubtful(journal: Journal, make: Make, taken: LoggerReadings) -> int:
    """How many readings of the kinds that come in are marked as doubtful."""
    traces = (journal.readings.trace(id_of(make), kind) for kind in taken.series)
    return sum(int(((trace.flags & DOUBTFUL) != 0).sum()) for trace in traces)


def remembered_mapping(journal: Journal, shape: str) -> Mapping | None:
    """The mapping saved for files of that shape, None when there is none that can be read."""
    text = journal.setting(f"mapping:{shape}")
    if text is None:
        return None
    try:
        return Mapping.from_dict(json.loads(text))
    except (ExchangeError, ValueError, AttributeError):
        return None


def remember(journal: Journal, mapping: Mapping) -> None:
    """Save a whole mapping for the next file of its shape."""
    journal.set_setting(f"mapping:{mapping.shape}", json.dumps(mapping.to_dict()))


def _overlaid(raw: RawTable, chosen: Mapping, known: Mapping | None) -> Mapping:
    """What was chosen, over what is remembered.

    Columns that were chosen replace all remembered ones; so do the time's columns. What the
    cells show by themselves, the form of the time and the decimal mark, is found in each file.
    """
    if known is None:
        return chosen
    kinds, units = known.kinds, known.units
    if chosen.kinds:
        kinds = dict.fromkeys(raw.header, "")
        kinds |= {raw.header[find_column(raw.header, n)]: k for n, k in chosen.kinds.items()}
    if chosen.unit or chosen.kinds:
        units = {}
    return replace(
        known,
        kinds=kinds,
        units={**units, **chosen.units},
        unit=chosen.unit or known.unit,
        time=chosen.time or known.time,
        time_form=chosen.time_form,
        date_order=chosen.date_order or known.date_order,
        decimal=chosen.decimal,
    )


def _far_away(make: Make, taken: LoggerReadings) -> list[str]:
    """A warning when most readings lie on other days than the make."""
    at_ms = [part.at_ms for part in taken.series.values() if len(part)]
    if not at_ms:
        return []
    middle = float(np.median(np.concatenate(at_ms)))
    if abs(middle - make.started_ms) < _FAR_MS:
        return []
    return [worded("exchange.weeks-away")]
