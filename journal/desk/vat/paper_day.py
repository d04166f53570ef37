"""The day from paper: what was kept on the printed sheet, typed in one grid and saved whole."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import astuple, dataclass, field, replace
from itertools import zip_longest

from PySide6.QtCore import QEvent, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from journal.curves.paper_doubts import PaperDoubt, doubts_among
from journal.desk.buttons import MAIN, Button
from journal.desk.commands import bind
from journal.desk.form.frame import FramedDialog
from journal.desk.form.readers import AsTypedField
from journal.desk.form.spec import Field, FieldContext
from journal.desk.labels import Label
from journal.desk.theme import STEP
from journal.desk.timers import timer
from journal.desk.vat.paper_grid import GridRow, PaperGrid
from journal.keeping import Journal, KeepingError
from journal.message import MessageError
from journal.quantities.several import parse_several
from journal.records import RecordError, id_of
from journal.records.instants import DAY_MS, at_clock, local
from journal.records.paper_day import CELLS, PaperDay, PaperLine, PaperRow, read_rows
from journal.records.whole import WholeMake
from journal.wording import text_of, worded
from journal.wording.dates import clock_to_type, format_day, iso_day
from journal.wording.keys import with_keys
from journal.wording.letters import capital
from journal.wording.readings import figure_text
from journal.wording.shown import in_shown_units, shown_unit, unit_label
from journal.wording.vat_day import odd_words
from journal.wording.vat_stage import acidity_in

_PAUSE_MS = 250  # after a key, then the draft is written down
_LEAST_ROWS, _BEFORE_MS = 8, 60 * DAY_MS
_ABOUT = (
    "Tab goes on, Enter begins the next row. Time: 0935, or 35 in the hour of the row above. "
    "Stage: its number or first letters where it begins, “end” when the make was over. "
    "312 is 31.2, 652 is pH 6.52. {key:add_line} adds a row, {key:delete_line} deletes one."
)


@dataclass(frozen=True)
class PaperDraft:
    """What is typed from a sheet; `saved` once it is in the journal."""

    rows: tuple[PaperRow, ...] = ()
    began: str = ""
    weights: str = ""
    saved: bool = False

    def with_others(self, base: PaperDraft, theirs: PaperDraft) -> PaperDraft:
        """This with what another window typed since `base`: where both did, this."""
        rows = tuple(
            PaperRow(*(o if o != b else t for o, b, t in zip(*map(astuple, three), strict=True)))
            for three in zip_longest(self.rows, base.rows, theirs.rows, fillvalue=PaperRow())
        )
        return PaperDraft(
            rows,
            self.began if self.began != base.began else theirs.began,
            self.weights if self.weights != base.weights else theirs.weights,
            self.saved or theirs.saved,
        )


def read_draft(text: str | None) -> PaperDraft:
    """A draft as it was written down; none where it cannot be read."""
    try:
        found = json.loads(text or "{}")
        rows = tuple(PaperRow(*map(str, row)) for row in found.get("rows", ()))
        return PaperDraft(rows, str(found.get("began", "")), str(found.get("weights", "")),
                          bool(found.get("saved")))  # fmt: skip
    except (ValueError, TypeError, AttributeError):
        return PaperDraft()


def write_draft(draft: PaperDraft) -> str:
    """As it is written down."""
    rows = [astuple(row) for row in draft.rows]
    return json.dumps({"rows": rows, "began": draft.began, "weights": draft.weights,
                       "saved": draft.saved})  # fmt: skip


@dataclass
class _Checked:
    """The rows as they are understood."""

    started_ms: int
    lines: list[PaperLine] = field(default_factory=list)
    faults: dict[tuple[int, str], str] = field(default_factory=dict)
    doubts: list[PaperDoubt] = field(default_factory=list)


class PaperDayDialog(FramedDialog):
    """The grid of one make's day. `message` carries a sentence once the rows are saved."""

    help_topic = "vat/Typing a reading"

    message = Signal(str)

    def __init__(
        self, journal: Journal, whole: WholeMake, now: Callable[[], int], parent: QWidget
    ) -> None:
        super().__init__(worded("desk.paper-day", code=whole.make.code), parent)
        self._journal, self._whole, self._now = journal, whole, now
        self._key = f"paper day {whole.make.uuid}"
        self._base = PaperDraft()
        self._rows: list[PaperRow] = []
        self._before: list[list[PaperRow]] = []  # what Ctrl+Z goes back to
        self._asked = ""  # what was asked before it is saved all the same
        self._checked = _Checked(whole.make.started_ms)
        titles = ("Time", "Stage", unit_label("temperature"), "pH", "Note")
        self.grid = PaperGrid(titles)
        hint = in_shown_units("1.18 kg, 1.16 kg")
        weights = Field("weights", "Green weights, if it is over", hint=hint)
        self.began = AsTypedField(Field("began", "The make began"), FieldContext(self))
        self.weights = AsTypedField(weights, FieldContext(self))
        self.save = Button("Save the day", MAIN, "main")
        self._close_button = Button("Close, keep as a draft", key="Esc")
        self.row_says = Label("", wrap=True)
        self._rest = timer(self, _PAUSE_MS, once=True)
        self._connect()
        self._arrange()
        self._take_up(self._read())

    def _connect(self) -> None:
        self.save.clicked.connect(self.submit)
        self._close_button.clicked.connect(self.reject)
        self._rest.timeout.connect(self.write_down)
        self.grid.typed.connect(self._on_typed)
        self.grid.picked.connect(self._on_picked)
        self.grid.row_wanted.connect(self._on_row_wanted)
        self.grid.inserted.connect(self._on_inserted)
        self.grid.removed.connect(self._on_removed)
        self.grid.line.textChanged.connect(self._on_key)
        for one in (self.began, self.weights):
            one.line.textEdited.connect(self._on_head)
        bind("undo", self, self.undo)
        bind("main", self, self.submit)

    def _arrange(self) -> None:
        head = QHBoxLayout()
        head.setSpacing(6 * STEP)
        for one in (self.began, self.weights):
            head.addWidget(one, 1)
        about = Label(with_keys(_ABOUT), role="quiet", wrap=True)
        self.arrange(self.grid, self.row_says, head, about,
                     acts=(self.save, self._close_button))  # fmt: skip
        self.resize(280 * STEP, 180 * STEP)
        self.grid.setFocus()

    # The draft

    def _read(self) -> PaperDraft:
        return read_draft(self._journal.setting(self._key))

    def _take_up(self, draft: PaperDraft) -> None:
        """Go on with a draft; one that was saved, and stands in the journal, is done with."""
        self._base = draft
        if draft.saved:
            draft = PaperDraft() if self._stands(draft) else replace(draft, saved=False)
        self._rows = list(draft.rows)
        self.began.line.setText(draft.began or self._start_text())
        self.weights.line.setText(draft.weights)
        self._show()
        self.grid.select_cell(next((n for n, row in enumerate(self._rows) if row.empty), 0), 0)

    def _stands(self, draft: PaperDraft) -> bool:
        """A reading or note of a saved draft is in the journal: it was not taken back."""
        lines, _ = read_rows(draft.rows, self._day(self._started(draft.began)))
        notes = {(note.at_ms, note.text) for note in self._whole.notes}
        for line in lines:
            if (line.at_ms, line.note) in notes:
                return True
            for _, kind, _value in line.values():
                if len(self._whole.trace(kind).between(line.at_ms, line.at_ms)):
                    return True
        return False

    def _start_text(self) -> str:
        at_ms, zone = self._whole.make.started_ms, self._whole.make.zone
        return f"{iso_day(at_ms, zone)} {clock_to_type(at_ms, zone)}"

    def _draft(self) -> PaperDraft:
        """What is typed now, with the cell that is being typed in."""
        rows, half = list(self._rows), self.grid.half_typed()
        if half is not None:
            rows += [PaperRow()] * (half[0] + 1 - len(rows))
            rows[half[0]] = rows[half[0]].put(half[1], half[2])
        while rows and rows[-1].empty:
            rows.pop()
        began = self.began.text()
        return PaperDraft(tuple(rows), "" if began == self._start_text() else began,
                          self.weights.text())  # fmt: skip

    def write_down(self) -> None:
        """Write the draft into the journal, with what another window typed meanwhile."""
        self._rest.stop()
        draft, theirs = self._draft(), self._read()
        if theirs != self._base and not theirs.saved:
            draft = draft.with_others(self._base, theirs)
            self._base = draft
            if not self.grid.writing:
                self._rows = list(draft.rows)
                self._show()
        if draft == theirs or (self._base.saved and draft == PaperDraft()):
            return
        try:
            self._journal.set_setting(self._key, write_draft(draft))
        except KeepingError as error:
            self.refuse(text_of(error))
            return
        self._base = draft

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        here = event.type() == QEvent.Type.ActivationChange and self.isActiveWindow()
        if here and self.isVisible() and not self._journal.closed:
            self.write_down()

    def reject(self) -> None:
        self.grid.finish()
        self.write_down()
        super().reject()

    # Typing

    def _on_key(self, _text: str) -> None:
        if self.grid.writing:
            self._rest.start()

    def _on_picked(self, row: GridRow) -> None:
        """Show the whole message about the selected row."""
        self.row_says.say(row.says, wrong=bool(row.marked))

    def _on_head(self, _text: str) -> None:
        self._show()
        self._rest.start()

    def _on_typed(self, row: int, cell: str, text: str) -> None:
        self._step()
        while row >= len(self._rows):
            self._rows.append(PaperRow())
        self._rows[row] = self._rows[row].put(cell, text)
        self._changed()

    def _on_row_wanted(self) -> None:
        self._rows += [PaperRow()] * (len(self.grid.rows_model.rows) + 1 - len(self._rows))
        self._show()

    def _on_inserted(self, row: int) -> None:
        self._step()
        self._rows.insert(row, PaperRow())
        self._changed()

    def _on_removed(self, row: int) -> None:
        if row < len(self._rows):
            self._step()
            del self._rows[row]
            self._changed()

    def undo(self) -> None:
        """Take the last change of a cell or row back."""
        if self._before:
            self._rows = self._before.pop()
            self._changed()

    def _step(self) -> None:
        self._before.append(list(self._rows))

    def _changed(self) -> None:
        self._asked = ""
        self.refuse("")
        self._show()
        self._rest.start()

    # What is understood

    def _started(self, text: str) -> int:
        """When the make began, as it is typed; a bare time is the last one on that clock."""
        make, now = self._whole.make, self._now()
        if not text or text == self._start_text():
            return make.started_ms
        return at_clock(text, make.zone, now - _BEFORE_MS, now)

    def _day(self, started_ms: int) -> PaperDay:
        whole, plan = self._whole, self._whole.plan
        begun = [run.began_ms for run in whole.runs]
        units = {name: shown_unit(name).key for name in ("temperature", "ph", "acidity")}
        kinds = tuple(acidity_in(plan, index) for index in range(len(plan.stages)))
        return PaperDay(plan.stages, kinds, (started_ms, *begun[1:]), units, whole.make.zone,
                        started_ms, self._now())  # fmt: skip

    def _check(self) -> None:
        found = _Checked(self._whole.make.started_ms)
        self.began.note("")
        try:
            found.started_ms = self._started(self.began.text())
        except RecordError as error:
            self.began.refuse(text_of(error))
            found.faults[-1, "time"] = text_of(error)
        found.lines, faults = read_rows(self._rows, self._day(found.started_ms))
        found.faults |= {(one.row, one.cell): text_of(one.message) for one in faults}
        found.doubts = doubts_among(self._whole, found.started_ms, found.lines,
                                    self._journal.readings.corrected)  # fmt: skip
        self._checked = found

    def _show(self) -> None:
        """Show the rows with what is understood of each."""
        self._check()
        wanted = max(_LEAST_ROWS, len(self._rows) + 1)
        rows = [*self._rows, *[PaperRow()] * (wanted - len(self._rows))]
        lines = {line.row: line for line in self._checked.lines}
        shown, last = [], None
        for number, row in enumerate(rows):
            line = lines.get(number)
            shown.append(self._shown(number, row, line, last))
            last = line or last
        self.grid.show_grid(shown, [astuple(row) for row in rows])
        here = self.grid.current()
        if here is not None:
            self._on_picked(here)

    def _shown(
        self, number: int, row: PaperRow, line: PaperLine | None, last: PaperLine | None
    ) -> GridRow:
        faults = {cell: text for (at, cell), text in self._checked.faults.items() if at == number}
        doubts = [one for one in self._checked.doubts if one.row == number]
        if line is None:
            return GridRow(astuple(row), says=" ".join(faults.values()), marked=frozenset(faults))
        make, stages = self._whole.make, self._whole.plan.stages
        texts = dict(zip(CELLS, astuple(row), strict=True))
        texts["time"] = clock_to_type(line.at_ms, make.zone)
        if not line.ended:
            texts["stage"] = stages[line.position].label
        for cell, kind, value in line.values():
            texts[cell] = figure_text(kind, value)
        quiet = frozenset(() if line.begins or line.ended else ("stage",))
        text = " ".join(_asked(one) for one in doubts) or self._news(line, last)
        return GridRow(tuple(texts.values()), quiet, text, frozenset(one.cell for one in doubts))

    def _news(self, line: PaperLine, last: PaperLine | None) -> str:
        """What a row says beside its values: another day, stages that are left out."""
        make, stages, parts = self._whole.make, self._whole.plan.stages, []
        before_ms = last.at_ms if last is not None else self._checked.started_ms
        day = local(line.at_ms, make.zone)
        if day.date() != local(before_ms, make.zone).date():
            parts.append(format_day(day, year=False, weekday=True))
        before = last.position if last is not None else 0
        left_out = [one.label for one in stages[before + 1 : line.position]] if line.begins else []
        if line.begins:
            parts.append(worded("wording.moment-begins", stage=stages[line.position].label))
        if left_out:
            parts.append(worded("desk.stages-left-out", stages=left_out))
        if line.ended:
            parts.append("the make is over")
        return capital(", ".join(parts))

    # Saving

    def submit(self) -> None:
        """Save all rows as one change; what is not understood or doubted is said first."""
        self.grid.finish()
        self._check()
        found = self._checked
        if found.faults:
            (row, cell), fault = min(found.faults.items())
            if row >= 0:
                self.grid.select_cell(row, CELLS.index(cell))
                self.grid.setFocus()
            self.refuse(_of_row(row, fault) if row >= 0 else fault)
            return
        try:
            unit = shown_unit("mass").key
            typed = parse_several(self.weights.text(), "mass", default_unit=unit)
            weights = [one.stored for one in typed]
            if self._asks(found, weights):
                return
            self._journal.paper.save(
                id_of(self._whole.make), found.started_ms, found.lines,
                {(one.row, one.cell) for one in found.doubts}, weights,
            )  # fmt: skip
        except (MessageError, KeepingError) as error:
            self.refuse(text_of(error))
            return
        self._saved(len(found.lines))

    def _asks(self, found: _Checked, weights: Sequence[float]) -> bool:
        """Ask once about what is doubtful."""
        ended = any(line.ended for line in found.lines)
        if weights and not ended:
            self.refuse("Weights are typed, and no row says when the make was over: type “end” as "
                        "its stage.")  # fmt: skip
            return True
        text = [_of_row(one.row, _asked(one)) for one in found.doubts[:2]]
        if len(found.doubts) > len(text):
            text.append(worded("desk.more-doubts", count=len(found.doubts) - len(text)))
        if ended and not weights:
            text.append(worded("desk.no-weight"))
        asked = repr((found.doubts, ended and not weights))
        if not text or asked == self._asked:
            return False
        self._asked = asked
        if found.doubts:
            self.grid.select_cell(found.doubts[0].row, CELLS.index(found.doubts[0].cell))
        self.refuse(worded("desk.paper-day-doubted", doubts=text, marked=bool(found.doubts)))
        return True

    def _saved(self, rows: int) -> None:
        try:
            self._journal.set_setting(self._key, write_draft(replace(self._draft(), saved=True)))
        except KeepingError as error:
            self.refuse(text_of(error))
        self._rest.stop()
        self.message.emit(worded("desk.paper-day-saved", code=self._whole.make.code, rows=rows))
        super().accept()


def _of_row(row: int, text: str) -> str:
    return worded("desk.of-row", row=row + 1, says=text)


def _asked(one: PaperDoubt) -> str:
    return odd_words(one.kind, one.value, one.last)
