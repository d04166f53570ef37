"""What has been typed on the sheet and not kept yet, so that nothing typed is lost."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from datetime import date
from typing import Any

from journal.desk.tastings.half_typed import UnsavedTexts
from journal.desk.tastings.setting_text import SettingText
from journal.keeping import Journal
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import OpenServing, ServingKey
from journal.quantities import QuantityError
from journal.quantities.typed import parse
from journal.records import RecordError
from journal.records.instants import local
from journal.records.kinds import ATTRIBUTES
from journal.records.tastings import half_point

DraftKey = tuple[int, str, str]  # wheel, assessor, day
SHEETS = "sheets"
SETTING = "tasting drafts"


@dataclass(frozen=True)
class SheetDraft:
    """A sheet as it stands: texts by attribute, defects (group, term, strength), own words.

    `others` are scores for attributes the sheet has no line for; they stay as they are.
    """

    texts: dict[str, str] = field(default_factory=dict)
    defects: tuple[tuple[str, str, str], ...] = ()
    note: str = ""
    others: dict[str, float] = field(default_factory=dict)
    photo: str = ""

    @property
    def empty(self) -> bool:
        """True when nothing is typed."""
        return not (any(self.texts.values()) or self.defects or self.note or self.others
                    or self.photo)  # fmt: skip


class Drafts:
    """What is typed for a serving and not saved; in the journal's file it outlives the window. Of a
    session that is open by wheel, assessor and day; under codes by serving, among what is `half`
    typed at `session` (its UUID)."""

    def __init__(self, journal: Journal, half: UnsavedTexts | None = None) -> None:
        self._journal, self._half = journal, half or UnsavedTexts(journal)
        self.session = ""
        self._setting = SettingText(journal, SETTING)
        self._held = _read(self._setting.text)

    def put(self, serving: ServingKey, draft: SheetDraft | None) -> None:
        """Remember a draft; None: there is none, or it is saved or moved by now."""
        if not isinstance(serving, OpenServing):
            rows = {key: row for key, row in self._rows().items() if key != str(serving)}
            rows |= {} if draft is None else {str(serving): asdict(draft)}
            self._half.put(self.session, SHEETS, rows or None)
        elif draft is not None:
            self._held[self._key(serving)] = draft
        elif self._held.pop(self._key(serving), None) is not None and self._setting.text:
            self.write()

    def of(self, serving: ServingKey) -> SheetDraft | None:
        """The draft for a serving, None when there is none."""
        if isinstance(serving, OpenServing):
            return self._held.get(self._key(serving))
        try:
            return read_draft(self._rows()[str(serving)])
        except (ValueError, TypeError, KeyError, AttributeError):
            return None  # none, or of another program's making

    def _rows(self) -> dict[str, Any]:
        found = self._half.of(self.session).get(SHEETS)
        return found if isinstance(found, dict) else {}

    def _key(self, serving: OpenServing) -> DraftKey:
        day = local(serving.at_ms, self._journal.zone).date().isoformat()
        return serving.wheel_id, serving.assessor.casefold(), day

    def write(self) -> str:
        """Write the drafts down, as far as they changed; what was refused is said."""
        rows = [(*key, asdict(draft)) for key, draft in self._held.items()]
        return self._setting.write(json.dumps(rows, ensure_ascii=False) if rows else "")

    def all(self) -> list[DraftKey]:
        """What there are drafts of, the oldest first."""
        return list(self._held)

    def on_day(self, day: str) -> set[tuple[int, str]]:
        """The wheels with a draft of that day, and whose it is (in small letters)."""
        return {(wheel, who) for wheel, who, its_day in self._held if its_day == day}


def _read(text: str) -> dict[DraftKey, SheetDraft]:
    try:
        return {
            (int(wheel), str(who), date.fromisoformat(day).isoformat()): read_draft(row)
            for wheel, who, day, row in json.loads(text or "[]")
        }
    except (ValueError, TypeError, KeyError, AttributeError):
        return {}  # of another program's making


def read_draft(row: dict[str, Any]) -> SheetDraft:
    """A draft as `asdict` wrote it; raises what a row of another program's making does."""
    return SheetDraft(
        {str(name): str(points) for name, points in row["texts"].items()},
        tuple((str(g), str(t), str(s)) for g, t, s in row["defects"]),
        str(row["note"]),
        {str(name): float(value) for name, value in row["others"].items()},
        str(row["photo"]),
    )


def draft_of(scored: ScoredSample, attributes: Sequence[str] = ATTRIBUTES) -> SheetDraft:
    """What was kept, as a sheet of these attributes shows it."""
    usual = {name: written(scored.scores[name]) for name in attributes if name in scored.scores}
    others = {name: value for name, value in scored.scores.items() if name not in attributes}
    return SheetDraft(usual, scored.defects, scored.note, others, scored.photo)


def scored_of(draft: SheetDraft) -> ScoredSample:
    """What is typed, as it is kept; RecordError names the first line that does not fit."""
    scores = {name: points(text, name) for name, text in draft.texts.items() if text.strip()}
    return ScoredSample({**scores, **draft.others}, draft.defects, draft.note.strip(), draft.photo)


def points(text: str, attribute: str) -> float:
    """A score as typed, 0 to 10 in halves; RecordError says what would do."""
    try:
        typed = parse(text, "number").value
    except QuantityError:
        raise RecordError("desk.score-wanted", attribute=attribute) from None
    return half_point(typed, attribute)


def written(value: float) -> str:
    """A score as it is shown."""
    return f"{value:.1f}"
