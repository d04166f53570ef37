"""From a logger's file into a make: what was understood first, then kept as one step."""

from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np

from journal.exchange import ExchangeError
from journal.exchange.loggers.cells import NUMBER, mostly, sample_of
from journal.exchange.loggers.headers import kinds_of
from journal.exchange.loggers.mapping import Mapping, find_column
from journal.exchange.loggers.preview import Preview
from journal.exchange.loggers.preview import preview as shown
from journal.exchange.loggers.table import RawTable, read_table
from journal.exchange.loggers.take import BEFORE, Taken, take
from journal.exchange.loggers.understand import Understood, understand
from journal.keeping import Journal
from journal.records.instants import DAY_MS
from journal.records.kinds import READING_KINDS
from journal.records.makes import Make

ALREADY = "already in the journal"
AS_BEFORE = "The columns were read as in the last file of this shape, but for what was said."
_LOOKED_AT = 400
_FAR_MS = 14 * DAY_MS
_LONGEST_SOURCE = 80


@dataclass(frozen=True)
class Seen:
    """A file as understood, before anything is kept.

    `taken` is None while a question is open, and `why_not` then says which (`asks` as in
    `ExchangeError`); `remembered` tells whether the mapping came from an earlier file of this
    shape; `passed_over` are the columns that look like readings but were not among those named.
    """

    understood: Understood
    taken: Taken | None
    preview: Preview
    remembered: bool = False
    why_not: str = ""
    asks: str = ""
    passed_over: tuple[str, ...] = ()

    @property
    def notes(self) -> tuple[str, ...]:
        """What a person should look at once it is kept, a sentence each."""
        known = (AS_BEFORE,) if self.remembered else ()
        return (*known, *self.understood.doubts, *self.passed_over)


@dataclass(frozen=True)
class Report:
    """What came of a file: rows read, values kept and skipped, and why, a count a reason.

    `kept + skipped` is `read` times the columns taken. `warnings` are those of the `notes` that
    speak of readings far from the make.
    """

    read: int
    kept: int
    skipped: int
    reasons: dict[str, int] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()


def preview(journal: Journal, make: Make, path: str | Path, said: Mapping | None = None) -> Seen:
    """Read a file and say what was understood; nothing is kept.

    Parameters
    ----------
    said
        What a person said about its columns; the rest is remembered from the last file of the
        same shape, or found in the file.

    Raises
    ------
    ExchangeError
        When the file cannot be read, or what was said does not fit it.
    """
    raw = read_table(path)
    known = remembered_mapping(journal, raw.shape)
    said = said or Mapping()
    understood = understand(raw, _overlaid(raw, said, known))
    taken, why_not, asks = None, "", ""
    try:
        taken = take(understood, zone=make.zone, start_ms=make.started_ms)
    except ExchangeError as error:
        why_not, asks = str(error), error.asks
    over = _passed_over(raw, said, understood)
    view = shown(understood, taken)
    view = replace(view, questions=(*view.questions, *over))
    return Seen(understood, taken, view, known is not None, why_not, asks, over)


def _passed_over(raw: RawTable, said: Mapping, understood: Understood) -> tuple[str, ...]:
    """Sentences on columns that look like readings, where only the columns named are taken."""
    if not said.kinds:
        return ()
    named = {find_column(raw.header, name) for name in said.kinds}
    free = [c for c in understood.columns if c.role == "left out" and c.place not in named]
    looks = [c for c in free if mostly(sample_of(raw.columns[c.place], _LOOKED_AT)) == NUMBER]
    kinds = kinds_of([column.name for column in looks])
    return tuple(
        f"“{column.name}” looks like {READING_KINDS[kind].label} ({kind}) and was left out, as "
        "only the columns named are taken; name it too to take it."
        for column, kind in zip(looks, kinds, strict=True)
        if kind
    )


def bring_in(journal: Journal, make: Make, path: str | Path, said: Mapping | None = None) -> Report:
    """Read a file and keep its readings with a make: one step to undo, nothing kept twice.

    The mapping is remembered for the next file of the same shape.

    Raises
    ------
    ExchangeError
        When the file cannot be read or a question is open; nothing is kept then.
    """
    return keep_seen(journal, make, preview(journal, make, path, said), Path(path).name)


def keep_seen(journal: Journal, make: Make, seen: Seen, source: str) -> Report:
    """Keep what was seen; `source` names the file the readings came from."""
    taken = seen.taken
    if taken is None:
        raise ExchangeError(seen.why_not, seen.asks)
    name = "".join(c for c in source if c.isprintable())[:_LONGEST_SOURCE]
    with journal.unit(f"bring in {name}"):
        kept = sum(
            journal.readings.add_many(make.id or 0, kind, part.at_ms, part.value, name)
            for kind, part in taken.series.items()
        )
        remember(journal, seen.understood.mapping)
    reasons = dict(taken.reasons)
    if taken.kept > kept:
        reasons[ALREADY] = taken.kept - kept
    far = _far_away(make, taken)
    return Report(
        read=taken.read,
        kept=kept,
        skipped=taken.skipped + taken.kept - kept,
        reasons=reasons,
        notes=(*seen.notes, *taken.notes, *far),
        warnings=(*(note for note in taken.notes if BEFORE in note), *far),
    )


def remembered_mapping(journal: Journal, shape: str) -> Mapping | None:
    """The mapping kept for files of that shape, None when there is none that can be read."""
    text = journal.setting(f"mapping:{shape}")
    if text is None:
        return None
    try:
        return Mapping.from_dict(json.loads(text))
    except (ExchangeError, ValueError, AttributeError):
        return None


def remember(journal: Journal, mapping: Mapping) -> None:
    """Keep a whole mapping for the next file of its shape."""
    journal.set_setting(f"mapping:{mapping.shape}", json.dumps(mapping.to_dict()))


def _overlaid(raw: RawTable, said: Mapping, known: Mapping | None) -> Mapping:
    """What was said, over what is remembered.

    Columns that were said take the place of all remembered ones; so do the time's columns.
    """
    if known is None:
        return said
    kinds, units = known.kinds, known.units
    if said.kinds:
        kinds = dict.fromkeys(raw.header, "")
        kinds |= {raw.header[find_column(raw.header, n)]: k for n, k in said.kinds.items()}
    if said.unit or said.kinds:
        units = {}
    return replace(
        known,
        kinds=kinds,
        units={**units, **said.units},
        unit=said.unit or known.unit,
        time=said.time or known.time,
        time_form=said.time_form or ("" if said.time else known.time_form),
        date_order=said.date_order or known.date_order,
        decimal=said.decimal or known.decimal,
    )


def _far_away(make: Make, taken: Taken) -> list[str]:
    """A word of warning when most readings lie on other days than the make."""
    at_ms = [part.at_ms for part in taken.series.values() if len(part)]
    if not at_ms:
        return []
    middle = float(np.median(np.concatenate(at_ms)))
    if abs(middle - make.started_ms) < _FAR_MS:
        return []
    return ["Most of these readings lie weeks from the day of the make: check the dates."]
