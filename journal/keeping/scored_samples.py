"""A scored sample: all that one assessor gave one sample, saved and read as one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from journal.keeping.all_keepers import Keepers
from journal.records import id_of
from journal.records.tastings import DefectMark, SampleNote, Score


@dataclass(frozen=True)
class ScoredSample:
    """All one assessor gave one sample.

    `scores` maps attribute to points; `defects` are (group, term, strength); `photo` names a
    file in the journal's photo folder.
    """

    scores: dict[str, float] = field(default_factory=dict)
    defects: tuple[tuple[str, str, str], ...] = ()
    note: str = ""
    photo: str = ""

    @property
    def empty(self) -> bool:
        """Nothing was given."""
        return not (self.scores or self.defects or self.note.strip() or self.photo)


def read_scored(journal: Keepers, sample_id: int, assessor_id: int) -> ScoredSample | None:
    """What the assessor gave the sample; None when nothing yet."""
    of = {"sample_id": sample_id, "assessor_id": assessor_id}
    notes = journal.sample_notes.where(**of)
    scored = ScoredSample(
        {s.attribute: s.value for s in journal.scores.where(**of)},
        tuple((d.group, d.term, d.strength) for d in journal.defects.where(**of)),
        "\n".join(n.text for n in notes if n.text),
        next((n.photo for n in notes if n.photo), ""),
    )
    return None if scored.empty else scored


def save_scored(journal: Keepers, sample_id: int, assessor_id: int, scored: ScoredSample) -> None:
    """Save a scored sample in place of the one saved before; what is the same is left alone.

    Stands within a unit of the caller.
    """
    of = {"sample_id": sample_id, "assessor_id": assessor_id}
    before = {s.attribute: s for s in journal.scores.where(**of)}
    for attribute, value in scored.scores.items():
        old = before.pop(attribute, None)
        new = replace(old, value=value) if old else Score(sample_id, assessor_id, attribute, value)
        if new != old:
            journal.scores.save(new)
    for gone in before.values():
        journal.scores.remove(id_of(gone))
    saved = journal.defects.where(**of)
    marks = [DefectMark(sample_id, assessor_id, *defect) for defect in scored.defects]
    _swap(journal.defects, saved, marks, _defect)
    text = scored.note.strip()
    notes = [SampleNote(sample_id, assessor_id, text, scored.photo)] if text or scored.photo else []
    _swap(journal.sample_notes, journal.sample_notes.where(**of), notes, _text)


def _swap(
    keeper: Any, before: Sequence[Any], after: Sequence[Any], says: Callable[[Any], object]
) -> None:
    """Put records in the place of others, leaving alone those that say the same."""
    stay = {says(record) for record in after} & {says(record) for record in before}
    for record in before:
        if says(record) not in stay:
            keeper.remove(record.id)
    fresh = [record for record in after if says(record) not in stay]
    if fresh:
        keeper.save_many(fresh)


def _defect(mark: DefectMark) -> object:
    return mark.group, mark.term, mark.strength


def _text(note: SampleNote) -> object:
    return note.text, note.photo
