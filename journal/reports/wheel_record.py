"""All that was done to a wheel and seen of it, line by line, to be corrected."""

from __future__ import annotations

from dataclasses import dataclass

from journal.keeping import Journal
from journal.records import id_of
from journal.records.makes import Note
from journal.records.wheels import Care, Removal, Weighing
from journal.wording import worded
from journal.wording.care import care_name
from journal.wording.letters import capital
from journal.wording.shown import write
from journal.wording.wheels import part_words

WheelEntry = Care | Weighing | Removal | Note


@dataclass(frozen=True)
class RecordLine:
    """One line: the wheel, when, what in words with what more was said, and the record itself."""

    code: str
    at_ms: int
    what: str
    more: str
    record: WheelEntry


def record_of(journal: Journal, wheel_id: int) -> list[RecordLine]:
    """What was done to one wheel, the newest first."""
    code = journal.wheels.get(wheel_id).code
    found = [RecordLine(code, c.at_ms, capital(care_name(c.kind)), c.note, c)
             for c in journal.cares.where(wheel_id=wheel_id)]  # fmt: skip
    found += [RecordLine(code, w.at_ms, worded("reports.weighed"), write(w.weight_kg, "mass"), w)
              for w in journal.weighings.where(wheel_id=wheel_id)]  # fmt: skip
    found += [_taken(code, t) for t in journal.removals.where(wheel_id=wheel_id)]
    found += [RecordLine(code, n.at_ms, _named(n), n.text, n)
              for n in journal.notes.where(wheel_id=wheel_id)]  # fmt: skip
    return sorted(found, key=_newest)


def removals(journal: Journal) -> list[RecordLine]:
    """What left any wheel, the newest first."""
    codes = {wheel.id: wheel.code for wheel in journal.wheels.all()}
    found = [_taken(codes[t.wheel_id], t) for t in journal.removals.all() if t.wheel_id in codes]
    return sorted(found, key=_newest)


def _taken(code: str, taken: Removal) -> RecordLine:
    part = part_words(taken) or worded("reports.all-of-it")
    if taken.whom:
        part = worded("reports.part-to", part=part, whom=taken.whom)
    more = "; ".join(filter(None, (part, taken.why)))
    return RecordLine(code, taken.at_ms, capital(taken.kind), more, taken)


def _named(note: Note) -> str:
    return worded("reports.photo" if note.photo else "wording.page-note")


def _newest(done: RecordLine) -> tuple[int, int]:
    return -done.at_ms, -id_of(done.record)
