"""Writing a plan: what the table's keys do to the current draft, step by step."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from PySide6.QtCore import QObject, Signal

from journal.desk.plans.draft_store import DraftStore
from journal.keeping import Journal
from journal.message import Message
from journal.records import RecordError
from journal.records.care_drafted import why_care_loose, with_care_cell, with_schedule
from journal.records.care_typed import names_care
from journal.records.care_written import typed_name
from journal.records.drafts import (
    COLUMNS,
    CareRow,
    DraftRow,
    PlanDraft,
    Writing,
    draft_of,
    new_draft,
)
from journal.records.plans import Plan, Stage
from journal.records.schedules import CommonSchedule
from journal.records.stage_typed import read_again, read_cell_so_far, read_milk_so_far, why_loose
from journal.wording import text_if_any, text_of, worded
from journal.wording.care import care_name
from journal.wording.drafts import new_caution
from journal.wording.plan_lines import MILK, typed_text, with_stored_parts, with_unit_shown
from journal.wording.sentences import word_of

_HINTS = {
    "stage": "warm, ripen, set, cut, heal, stir, wash, cook, pitch, drain, cheddar, mill, "
    "salt, mould, press, brine or dry; you can add a name, such as ripen: culture "
    "in. Or the care after the vat: turn weekly from 2 weeks.",
    "temp": "A temperature, such as 31.5 or 88 F. Empty: no temperature.",
    "minutes": "A length, such as 45 (minutes), 1 h 15 or 14 h.",
    "what": "records.parts-offer",
}
_CARE_HINTS = {
    "stage": "desk.care-line-offer",
    "temp": "The temperature of the room, such as 12 or 54 F. Empty: as the plan says.",
    "minutes": "When: day 3; 2 to 3 days; from 2 weeks, weekly; day 1 to 14, daily; then weekly. "
    "A month is 30.4 days.",
    "what": "A note, such as cloth and fat; 85 % is the humidity of the room.",
}
_MILK_HINT = (
    "cow; pasteurised; mesophilic; yield 10 %; floc × 3; protein to fat 0.9; room 11 °C; "
    "room humidity 85 %."
)


_WHAT = COLUMNS.index("what")


class Author(QObject):
    """Holds the current draft. `changed` says that it did (a key or a step), `selected` where the
    table should stand then, `message` what was made of a cell (and whether it is wrong). `milk_l`
    is the milk typed, None while none is; `along` are the plans that come along."""

    changed = Signal()
    selected = Signal(int, int)
    message = Signal(str, bool)

    def __init__(
        self, journal: Journal, along: Sequence[Plan], drafts: DraftStore, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._journal = journal
        self._along = along
        self.drafts = drafts
        self.key = ""
        self.milk_l: float | None = None
        self._base = new_draft(new_caution())
        self._live: PlanDraft | None = None

    # The current draft

    def take(self, key: str, plan: Plan | None) -> None:
        """Turn to a plan, or to the draft begun from it."""
        self.key, self._live = key, None
        if plan is not None:
            self._base = draft_of(plan)
        elif self.writing is not None:
            self._base = self.writing.first

    @property
    def writing(self) -> Writing | None:
        """The steps taken, None where nothing was changed yet."""
        return self.drafts.writing(self.key)

    @property
    def draft(self) -> PlanDraft:
        """The draft with the cell as typed so far, as far as that is understood."""
        return self._live if self._live is not None else self.settled

    @property
    def settled(self) -> PlanDraft:
        """The draft without the cell being typed."""
        writing = self.writing
        return self._base if writing is None else writing.draft

    @property
    def is_draft(self) -> bool:
        """Something was changed that is not kept as a version yet."""
        return self.key in self.drafts.changed()

    @property
    def litres(self) -> float:
        """The milk there is, else the plan's own."""
        return self.settled.head.milk_l if self.milk_l is None else self.milk_l

    def text_of(self, row: int, column: str) -> str:
        """A cell's text for typing on."""
        return typed_text(self.settled, row, column, self.litres)

    # Typing

    def on_typed(self, row: int, column: str, text: str) -> None:
        """A key went into a cell: show the plan as it would be, say what was understood."""
        same = text.rstrip("; ") == self.text_of(row, column).rstrip("; ")
        try:
            live, message, why = (self.settled, "", "") if same else self._read(row, column, text)
        except RecordError as error:
            self._live = None
            self.message.emit(
                text_of(error) if text.strip() else self._hint(row, column), bool(text.strip())
            )
            self._hold(_loose(self.settled, row, column, text))
        else:
            self._live = live
            self.message.emit(why or message or self._hint(row, column), bool(why))
            self._hold(None if same else live)
        self.changed.emit()

    def on_saved(self, row: int, column: str, text: str) -> None:
        """A cell was left: take the step, whether it was understood or not."""
        self._live = None
        before = self.settled
        try:
            draft = self._read(row, column, text)[0]
        except RecordError:
            draft = _loose(before, row, column, text)
        added = len(draft.care) - len(before.care)
        if added > 0 and before.care_at(row) < 0:
            draft, at = _care_begun(draft, row), len(draft.rows) + len(draft.care) - 1
            self._do("a schedule", draft, (at - (len(draft.rows) < len(before.rows)), _WHAT))
            return
        names = "desk.step-cell-" if draft.care_at(row) < 0 else "desk.step-care-cell-"
        whole = column == "stage" and draft.care_at(row) >= 0 and _tells_all(draft, row, text)
        stand = (row + added, _WHAT) if added > 0 or whole else None
        change = word_of(names, column, line=_called(draft, row))
        self._do(change, draft, stand)

    def _hint(self, row: int, column: str) -> str:
        """What can be typed in a cell."""
        if self.settled.care_at(row) < 0:
            return _hint(row, column)
        return worded(_CARE_HINTS[column], offer=Message("records.care-offer"))

    def on_dropped(self) -> None:
        """A cell was left as it was."""
        self._live = None
        self._hold(None)
        self.changed.emit()

    def _hold(self, draft: PlanDraft | None) -> None:
        if draft is not None and self.writing is None:
            self.drafts.open(self.key, self.settled)
        self.drafts.hold(self.key, draft)

    def _read(self, row: int, column: str, text: str) -> tuple[PlanDraft, str, str]:
        """The draft with a cell typed anew, what was made of it, and why a part of it was not
        understood ("" where all was)."""
        draft, text = self.settled, with_unit_shown(column, text)
        if column == "what":
            text = with_stored_parts(draft, row, text, self.litres)
        plan = draft.plan() or draft.head
        if row == MILK:
            fields, message, left = read_milk_so_far(column, text, plan)
            loose = {c: t for c, t in draft.head_loose.items() if c != column}
            loose |= {column: left.text} if left.text else {}
            draft = self._again(replace(draft.with_head(**fields), head_loose=loose))
            return draft, _joined(message), text_if_any(left.why)
        if draft.care_at(row) >= 0:
            draft, care = with_care_cell(draft, row, column, text)
            return draft, _joined(care.message), text_if_any(care.why)
        at = draft.rows[row]
        if column == "stage" and at.stage is None and names_care(text):
            draft, care = with_schedule(draft, text)
            return draft, _joined(care.message), text_if_any(care.why)
        if not text.strip() and column == "stage" and at.stage is None:
            return draft.with_row(row, DraftRow()), "", ""
        read = read_cell_so_far(column, text, at.stage, plan, self.litres, self._names())
        new = at.with_stage(read.stage, column)
        new = new.with_loose(column, read.loose.text) if read.loose.text else new
        return draft.with_row(row, new), _joined(read.message), text_if_any(read.loose.why)

    def _again(self, draft: PlanDraft) -> PlanDraft:
        """What was not understood may be, with another word about the milk or the mould."""
        if not any(row.loose for row in draft.rows):
            return draft
        return read_again(draft, self.litres, self._names())

    def _names(self) -> frozenset[str]:
        """What the plans and the stock call what goes in, in lower case."""
        plans = [*self._along, *self._journal.plans.latest()]
        names = [dose.name for plan in plans for stage in plan.stages for dose in stage.doses]
        names += [lot.name for lot in self._journal.ingredients.all()]
        return frozenset(name.lower() for name in names)

    def why(self) -> str:
        """Why the first cell that is not understood is not; "" where every cell is."""
        draft = self.settled.without_blanks()
        found = why_care_loose(draft)
        if draft.head_loose or any(row.loose for row in draft.rows):
            found = why_loose(draft, self.litres, self._names()) or found
        return text_if_any(found)

    # Acts on rows

    def insert(self, after: int) -> None:
        """A blank line after a row."""
        self._do(
            "insert a line", self.settled.insert(max(after, MILK) + 1), (max(after, -1) + 1, 0)
        )

    def move(self, row: int, by: int) -> None:
        """A line up or down."""
        draft = self.settled
        first, end = (0, len(draft.rows)) if draft.care_at(row) < 0 else (len(draft.rows), 0)
        to = min(max(row + by, first), (end or first + len(draft.care)) - 1)
        if row >= 0:
            self._do(
                worded("desk.step-move", code=_called(self.settled, row)),
                self.settled.move(row, by),
                (to, 0),
            )

    def duplicate(self, row: int) -> None:
        """A line said twice."""
        if row >= 0:
            name = worded("desk.step-duplicate", called=_called(self.settled, row))
            self._do(name, self.settled.duplicate(row), (row + 1, 0))

    def remove(self, row: int) -> None:
        """Take a line out."""
        if row >= 0:
            stand = (min(row, len(self.settled.rows) + len(self.settled.care) - 2), 0)
            self._do(
                worded("desk.step-delete", name=_called(self.settled, row)),
                self.settled.remove(row),
                stand,
            )

    def stage_at(self, row: int) -> Stage | None:
        """The stage of a row, None where there is none."""
        return self.settled.rows[row].stage if 0 <= row < len(self.settled.rows) else None

    def words(self, row: int, do: str, until: str) -> None:
        """What to do at a stage, and when it is over."""
        stage = self.stage_at(row)
        if stage is not None:
            changed = replace(
                stage, instruction=" ".join(do.split()), until=" ".join(until.split())
            )
            draft = self.settled.with_row(row, replace(self.settled.rows[row], stage=changed))
            self._do(worded("desk.step-instructions", label=stage.label), draft)

    def add_care(self, text: str) -> None:
        """Care in words behind the care there is; one step."""
        draft = self.settled
        if not draft.rows:
            draft = draft.insert(0)
        added, _ = with_schedule(draft, text)
        at = len(added.rows) + len(draft.care)
        self._do(text, added, (at, 0))

    def add_schedule(self, common: CommonSchedule) -> None:
        """A common schedule behind the care there is, its caution with the plan's, and its room
        where the plan names none; one step."""
        draft = self.settled.without_blanks()
        if not draft.rows:
            draft = draft.insert(0)
        head = draft.head
        draft = with_schedule(draft, common.schedule)[0]
        cautions = [one for one in (head.caution, common.caution) if one]
        changed: dict[str, Any] = {}
        if common.caution and common.caution not in head.caution:
            changed["caution"] = "\n".join(cautions)
        if head.room_c is None and head.room_humidity_pct is None:
            changed["room_c"], changed["room_humidity_pct"] = common.room_c, common.humidity_pct
        self._do(
            worded("desk.step-schedule", family=common.family),
            replace(draft, head=replace(head, **changed)),
            (len(draft.rows), 0),
        )

    # Acts on the whole

    def try_mould(self, width_mm: float | None) -> None:
        """The plan as it would be in another mould, at each key."""
        try:
            self._live = self._again(self.settled.with_head(mould_mm=width_mm))
        except RecordError:
            self._live = None
        self.changed.emit()

    def set_mould(self, width_mm: float | None) -> None:
        """Another mould."""
        self._do("mould", self._again(self.settled.with_head(mould_mm=width_mm)))

    def set_name(self, name: str) -> None:
        """Another name."""
        self._do("name", replace(self.settled, name=" ".join(name.split())))

    def reset(self) -> None:
        """Back to the plan as it is kept; can be undone."""
        self._do(worded("desk.step-back-to-version", version=self._base.from_version), self._base)

    @property
    def undo_name(self) -> str | None:
        """What undo would take back here."""
        return None if self.writing is None else self.writing.undo_name

    @property
    def redo_name(self) -> str | None:
        """What redo would do again here."""
        return None if self.writing is None else self.writing.redo_name

    def undo(self) -> str | None:
        """Take the last step of the draft back."""
        return self._turn(Writing.undo)

    def redo(self) -> str | None:
        """Take a step of the draft again."""
        return self._turn(Writing.redo)

    def _turn(self, walk: Callable[[Writing], str | None]) -> str | None:
        if self.writing is None:
            return None
        name = walk(self.writing)
        self._live = None
        self.drafts.hold(self.key, None)
        self.drafts.save()
        self.changed.emit()
        return name

    def _do(self, name: str, draft: PlanDraft, stand: tuple[int, int] | None = None) -> None:
        writing = self.writing
        if writing is None:
            if draft == self.settled:
                return
            writing = self.drafts.open(self.key, self.settled)
        writing.do(name, draft)
        self._live = None
        self.drafts.hold(self.key, None)
        self.drafts.save()
        self.changed.emit()
        if stand is not None:
            self.selected.emit(*stand)


def _loose(draft: PlanDraft, row: int, column: str, text: str) -> PlanDraft:
    """The draft with a text that says nothing it understands."""
    if row == MILK:
        return replace(draft, head_loose={**draft.head_loose, column: text})
    index = draft.care_at(row)
    if index >= 0:
        care = draft.care[index]
        loose = {**care.loose, column: text}
        return draft.with_care(index, [CareRow(care.line, loose)])
    return draft.with_row(row, draft.rows[row].with_loose(column, text))


def _joined(message: Sequence[Message]) -> str:
    """What was made of a cell's parts, one after another."""
    return " · ".join(text_of(one) for one in message)


def _called(draft: PlanDraft, row: int) -> str:
    if row == MILK:
        return worded("desk.the-milk")
    index = draft.care_at(row)
    if index >= 0:
        line = draft.care[index].line if index < len(draft.care) else None
        return worded("desk.a-line") if line is None else care_name(line.kind)
    stage = draft.rows[row].stage if 0 <= row < len(draft.rows) else None
    return worded("desk.a-line") if stage is None else stage.label


def _care_begun(draft: PlanDraft, row: int) -> PlanDraft:
    """The draft without the line of stages in which its care was typed; the only one stays."""
    return draft.remove(row) if len(draft.rows) > 1 else draft


def _tells_all(draft: PlanDraft, row: int, text: str) -> bool:
    """The first cell of a line of care said more than its name."""
    line = draft.care[draft.care_at(row)].line
    return line is not None and text.strip().lower() not in (line.kind, typed_name(line.kind))


def _hint(row: int, column: str) -> str:
    if row == MILK:
        return (
            _MILK_HINT
            if column == "what"
            else ("The temperature the milk comes at, such as 5 or 40 F.")
        )
    return worded(_HINTS.get(column, ""))
