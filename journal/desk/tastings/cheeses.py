"""Naming what is to be tasted: a wheel by any part of its name, or a cheese from elsewhere."""

from __future__ import annotations

from collections.abc import Sequence

from journal.desk.form.chips import ChipEntry
from journal.desk.form.suggest import Suggestion
from journal.keeping.session_rows import SampleIdentity, WheelRow
from journal.records.dates import age_days
from journal.records.instants import local
from journal.records.kinds import ATTRIBUTES
from journal.wording import worded
from journal.wording.ages import age_words
from journal.wording.dates import month_name


def cheeses_like(text: str, rows: Sequence[WheelRow], now_ms: int) -> list[Suggestion]:
    """What a text could mean: wheels that are there, then a name for one from elsewhere."""
    wanted = text.lower().split()
    out = []
    for row in sorted(rows, key=_gone):
        made = local(row.started_ms, row.zone)
        words = f"{row.code} {row.plan} {month_name(made)} {made.year}".lower()
        if all(word in words for word in wanted):
            days = age_days(row.started_ms, now_ms)
            age = worded("wording.gone") if row.gone else age_words(days)
            means = ChipEntry(row.code, SampleIdentity(row.id))
            which = "desk.cheese-verdict" if row.verdict else "desk.cheese-failed"
            which = which if row.verdict or row.failed else "desk.cheese-of"
            about = worded(which, plan=row.plan, age=age)
            out.append(Suggestion(row.code, about, means))
    name = " ".join(text.split())
    if name:
        entry = ChipEntry(name, SampleIdentity(None, name))
        out.append(Suggestion(name, "a cheese from elsewhere, under this name", entry))
    return out


def attributes_like(text: str, known: Sequence[str]) -> list[Suggestion]:
    """What attribute a text could mean; one of your own stands at the end."""
    wanted = " ".join(text.lower().split())
    names = list(dict.fromkeys([*ATTRIBUTES, *known]))
    out = [
        Suggestion(n, "" if n in ATTRIBUTES else worded("desk.own-attribute"), ChipEntry(n, n))
        for n in names
        if n.startswith(wanted)
    ]
    if wanted and wanted not in names:
        out.append(Suggestion(wanted, "an attribute of your own", ChipEntry(wanted, wanted)))
    return out


def as_entries(found: Sequence[Suggestion]) -> list[Suggestion]:
    """Suggestions of names as entries of a list."""
    return [Suggestion(s.words, s.says, ChipEntry(s.words, s.words)) for s in found]


def _gone(row: WheelRow) -> bool:
    return row.gone
