"""What was seen of wheels: notes and photos of their rinds, and the photos of their cuts."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple, TypeVar

from journal.keeping import Journal
from journal.records import id_of
from journal.records.dates import MONTH_DAYS
from journal.records.instants import DAY_MS, local
from journal.records.makes import Make, Note
from journal.records.tastings import Sample, SampleNote, Tasting
from journal.records.wheels import Wheel
from journal.wording.ages import age_words

Photo = TypeVar("Photo")
Cut = tuple[int | None, int, str, str]  # the wheel, when, the photo, the words to it

_TOUCHED_DAYS = 0.5  # a photo belongs to what was done so long before it
# The ages that a wall has columns of, days: to the nearest of them a photo is put.
_AGES = (7.0, 14.0, *(n * MONTH_DAYS for n in (1, 2, 3, 4, 6, 9, 12, 18, 24, 36)))


class Rim(NamedTuple):
    """Where a wheel's rim is on a photo: its middle from the left and from the top and its radius,
    in widths of the photo."""

    x: float
    y: float
    radius: float


@dataclass(frozen=True)
class WheelPhoto:
    """A photo of a wheel: when, at which age, the words to it; `note_id` of a visit's note, None
    for the photo of a cut from a tasting; its rim where that was marked, and how wide the wheel
    is, mm, where that is known."""

    wheel_id: int
    code: str
    at_ms: int
    age_days: int
    photo: str
    text: str = ""
    note_id: int | None = None
    rim: Rim | None = None
    diameter_mm: float | None = None

    @property
    def title(self) -> str:
        """ "HL-0015-A, 4 months"."""
        return f"{self.code}, {age_words(self.age_days)}"


@dataclass(frozen=True)
class PhotoWallRow:
    """A make on the wall: its code, its name, and its photos by the number of their column."""

    make_id: int
    code: str
    name: str
    photos: dict[int, tuple[WheelPhoto, ...]]


@dataclass(frozen=True)
class PhotoWall:
    """Photos of all wheels: the ages across, the makes down, the newest first."""

    ages: tuple[str, ...]
    rows: tuple[PhotoWallRow, ...]


def visits_of(journal: Journal, wheel_id: int) -> list[Note]:
    """The notes of a wheel, with their photos, oldest first."""
    return sorted(journal.notes.where(wheel_id=wheel_id), key=_at)


def photos_of(journal: Journal, wheel_id: int) -> list[WheelPhoto]:
    """The photos of one wheel, oldest first; of its rind, and of its cuts where a tasting is not
    hidden any more."""
    wheels = journal.wheels.where(id=wheel_id)
    makes = journal.makes.of_any("id", {wheel.make_id for wheel in wheels})
    notes = journal.notes.where(wheel_id=wheel_id)
    return _photos(wheels, makes, notes, _cuts_of(journal, [wheel_id]))


def cuts_of(journal: Journal, of: Collection[int]) -> dict[int, str]:
    """The newest photo of a cut of each of these makes, by the make's id; where none was cut before
    a camera, the newest of its rinds."""
    makes = {id_of(wheel): wheel.make_id for wheel in journal.wheels.of_any("make_id", of)}
    rinds = sorted(last_rinds(journal, makes).items())
    found = {makes[wheel]: photo for wheel, photo in rinds if wheel in makes}
    for cut in sorted(_cuts_of(journal, makes), key=lambda one: one[1]):
        if cut[0] in makes:
            found[makes[cut[0]]] = cut[2]
    return found


def last_rinds(journal: Journal, wheels: Collection[int] | None = None) -> dict[int, str]:
    """The newest photo of each wheel's rind, by the wheel's id; of these wheels, or of all."""
    noted = journal.notes
    notes = sorted(noted.all() if wheels is None else noted.of_any("wheel_id", wheels), key=_at)
    return {n.wheel_id: n.photo for n in notes if n.photo and n.wheel_id is not None}


def wall_of(journal: Journal) -> PhotoWall:
    """The photos of all wheels, those that are gone too."""
    photos = wheel_photos(journal)
    wheels = {id_of(wheel): wheel.make_id for wheel in journal.wheels.all()}
    used = sorted({_column(photo.age_days) for photo in photos})
    rows = []
    for make in sorted(journal.makes.all(), key=_begun, reverse=True):
        mine = [photo for photo in photos if wheels[photo.wheel_id] == make.id]
        by_column = {
            at: tuple(p for p in mine if _column(p.age_days) == column)
            for at, column in enumerate(used)
        }
        if mine:
            shown = {at: found for at, found in by_column.items() if found}
            rows.append(PhotoWallRow(id_of(make), make.code, make.name, shown))
    return PhotoWall(tuple(age_words(_AGES[column]) for column in used), tuple(rows))


def wheel_touched(journal: Journal, at_ms: int) -> Wheel | None:
    """The wheel something was done to, or noted of, last before an instant, on that visit; None
    where nothing was."""
    since = at_ms - round(_TOUCHED_DAYS * DAY_MS)
    touched = [(c.at_ms, c.wheel_id) for c in journal.cares.all()]
    touched += [(w.at_ms, w.wheel_id) for w in journal.weighings.all()]
    touched += [(n.at_ms, n.wheel_id) for n in journal.notes.all() if n.wheel_id is not None]
    near = [one for one in touched if since <= one[0] <= at_ms]
    there = {wheel.id: wheel for wheel in journal.wheels.all()}
    known = [one for one in near if one[1] in there]
    return there[max(known)[1]] if known else None


def wheel_photos(journal: Journal) -> list[WheelPhoto]:
    """The photos of all wheels, oldest first; of rinds, and of cuts where a tasting is not hidden
    any more."""
    return _photos(
        journal.wheels.all(), journal.makes.all(), journal.notes.all(), _every_cut(journal)
    )


def _photos(
    of: Iterable[Wheel], made: Iterable[Make], noted: Iterable[Note], cuts: Iterable[Cut]
) -> list[WheelPhoto]:
    wheels = {id_of(wheel): wheel for wheel in of}
    makes = {id_of(make): make for make in made}
    notes = [n for n in noted if n.photo and n.wheel_id in wheels]
    found: list[tuple[int | None, int, str, str, int | None, Rim | None]] = [
        (n.wheel_id, n.at_ms, n.photo, n.text, n.id, Rim(*n.rim) if n.rim else None) for n in notes
    ]
    found += [(*cut, None, None) for cut in cuts]
    found.sort(key=lambda one: one[1])
    out = []
    for wheel_id, at_ms, photo, text, note_id, rim in found:
        wheel = wheels.get(wheel_id or 0)
        make = makes.get(wheel.make_id) if wheel is not None else None
        if wheel is not None and make is not None:
            out.append(
                WheelPhoto(
                    id_of(wheel), wheel.code, at_ms, _age(make, at_ms), photo, text, note_id, rim,
                    wheel.diameter_mm,
                )
            )  # fmt: skip
    return out


def _cuts_of(journal: Journal, wheels: Collection[int]) -> Iterable[Cut]:
    samples = journal.samples.of_any("wheel_id", wheels)
    notes = journal.sample_notes.of_any("sample_id", {sample.id for sample in samples})
    tastings = journal.tastings.of_any("id", {sample.tasting_id for sample in samples})
    return _cuts(tastings, samples, notes)


def _every_cut(journal: Journal) -> Iterable[Cut]:
    return _cuts(journal.tastings.all(), journal.samples.all(), journal.sample_notes.all())


def _cuts(
    tastings: Iterable[Tasting], tasted: Iterable[Sample], notes: Iterable[SampleNote]
) -> Iterable[Cut]:
    """The photos of revealed tastings."""
    shown = {t.id: t for t in tastings if t.lifted_ms is not None}
    samples = {s.id: s for s in tasted if s.tasting_id in shown}
    for note in notes:
        sample = samples.get(note.sample_id)
        if note.photo and sample is not None:
            at_ms = shown[sample.tasting_id].at_ms
            yield sample.wheel_id, at_ms, note.photo, note.text


def spread(photos: Sequence[Photo], most: int) -> list[Photo]:
    """So many of them at most, evenly, with the first and the last."""
    if len(photos) <= most:
        return list(photos)
    if most < 2:
        return list(photos[-1:])
    step = (len(photos) - 1) / (most - 1)
    return [photos[round(number * step)] for number in range(most)]


def _column(age_days: float) -> int:
    return min(range(len(_AGES)), key=lambda number: abs(_AGES[number] - age_days))


def _age(make: Make, at_ms: int) -> int:
    begun = local(make.started_ms, make.zone).date()
    return (local(at_ms, make.zone).date() - begun).days


def _at(note: Note) -> int:
    return note.at_ms


def _begun(make: Make) -> int:
    return make.started_ms
