"""The photos of a make and its wheels, in the order they are shown to somebody else."""

from __future__ import annotations

from typing import NamedTuple

from journal.keeping import Journal
from journal.message import Instant
from journal.records.makes import Note
from journal.records.whole import WholeMake
from journal.reports.rinds import WheelPhoto, spread, wheel_photos
from journal.wording import worded
from journal.wording.ages import age_words

MOST = 12  # on a page: the newest cut, and the rest evenly over the make's life


class MakePhoto(NamedTuple):
    """A photo: its name in the journal's folder, and what is seen on it, with what was noted."""

    photo: str
    words: str


def photos_of_make(journal: Journal, whole: WholeMake, most: int = MOST) -> list[MakePhoto]:
    """The cuts first, the newest before the others; then the day at the vat and the rinds, oldest
    first. Those of sessions that are hidden are left out."""
    wheels = {wheel.id for wheel in whole.wheels}
    found = [one for one in wheel_photos(journal) if one.wheel_id in wheels]
    cuts = [
        _of_wheel(one, "reports.photo-of-cut") for one in reversed(found) if one.note_id is None
    ]
    day = [note for note in whole.notes if note.photo and note.wheel_id is None]
    rest = [_of_day(whole, note) for note in sorted(day, key=_at)]
    rest += [_of_wheel(one, "reports.photo-of-rind") for one in found if one.note_id is not None]
    return [*cuts[:most], *spread(rest, most - len(cuts[:most]))]


def _of_wheel(one: WheelPhoto, which: str) -> MakePhoto:
    what = worded(which, code=one.code, age=age_words(one.age_days))
    return MakePhoto(one.photo, _noted(what, one.text))


def _noted(what: str, text: str) -> str:
    return f"{what}: {text}" if text else what


def _of_day(whole: WholeMake, note: Note) -> MakePhoto:
    at = Instant(note.at_ms, whole.make.zone)
    what = worded("reports.photo-of-day", code=whole.make.code, at=at)
    return MakePhoto(note.photo, _noted(what, note.text))


def _at(note: Note) -> int:
    return note.at_ms
