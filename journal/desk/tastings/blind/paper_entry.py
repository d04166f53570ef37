"""Typing in what an assessor wrote on paper: a grid of cells, Enter goes on to the next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QWidget

from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.events import pressed_key
from journal.desk.form.chips import HIGH
from journal.desk.form.fields import Fields
from journal.desk.form.frame import arrange_page
from journal.desk.form.line_field import FieldStyle, TextLine
from journal.desk.form.page import LINE_STYLE
from journal.desk.form.readers import RowField
from journal.desk.form.spec import AS_TYPED, ROW, Field, FieldContext
from journal.desk.labels import Label, plain_tip
from journal.desk.layouts import empty
from journal.desk.tastings.defects import split_strength, terms
from journal.desk.tastings.drafts import points, written
from journal.desk.theme import LEAD, SMALL, STEP, TITLE
from journal.keeping.scored_samples import ScoredSample
from journal.records import RecordError
from journal.wording import worded

_CELL = 45
_STYLE = FieldStyle(height=HIGH, inset=2 * STEP, titled=False)


@dataclass(frozen=True)
class SheetEntry:
    """One line of a sheet of paper: the serving, its code, and what was kept of it before."""

    serving_id: int
    code: str
    scored: ScoredSample | None


class PaperEntry(QWidget):
    """The page. `save_asked` wants it saved, `back_asked` to go back; `stands` carries the
    selected attribute, `turned` the name of the assessor whose sheet is wanted."""

    save_asked = Signal()
    back_asked = Signal()
    stands = Signal(str)
    edited = Signal(str)
    turned = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self._attributes: list[str] = []
        self.rows: list[_Row] = []
        self.typed: dict[int, list[str]] = {}  # by serving, and not kept
        self.title = Label("", TITLE, bold=True)
        self.where = Label("", role="quiet")
        self.others = QHBoxLayout()
        self.message = Label("", role="quiet", wrap=True)
        self.save = Button("Save all", MAIN, "main")
        self.back = Button("Back to the sheet", FAINT, "Esc")
        self._holder = QWidget()
        self.save.clicked.connect(self.save_asked)
        self.back.clicked.connect(self.back_asked)
        self._build()

    def _build(self) -> None:
        self.others.setSpacing(2 * STEP)
        parts = (self.title, self.others, self.where, self._holder)
        acts = (self.save, self.back)
        self._column = arrange_page(self, parts, self.message, acts, gap=2 * STEP, sideways=True)

    def show_sheet(
        self,
        who: str,
        people: Sequence[str],
        attributes: Sequence[str],
        lines: Sequence[SheetEntry],
    ) -> None:
        """Show the sheet of an assessor; what was typed there and not kept is there again."""
        self.hold()
        self.title.setText(worded("desk.what-they-wrote", who=who))
        self._attributes = list(attributes)
        self.show_people(who, people)
        fresh = QWidget()
        grid = QGridLayout(fresh)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(STEP)
        grid.setVerticalSpacing(STEP)
        for k, name in enumerate(attributes):
            label = Label("", SMALL, role="quiet")
            label.setText(
                label.fontMetrics().elidedText(name, Qt.TextElideMode.ElideRight, _CELL + STEP)
            )
            label.setToolTip(plain_tip(name))
            grid.addWidget(label, 0, k + 1)
        grid.setColumnStretch(len(attributes) + 1, 1)
        self.rows = [_Row(line, attributes, grid, 1 + 2 * i, self) for i, line in enumerate(lines)]
        for row in self.rows:
            row.put(self.typed.get(row.line.serving_id))
            row.fields.watch(self)
            for cell in row.all():
                cell.returnPressed.connect(self._on_return)
                cell.textEdited.connect(self.edited)
        self._column.replaceWidget(self._holder, fresh)
        self._holder.deleteLater()
        self._holder = fresh
        self.message.say_if_any("")
        self.to_first()

    def show_people(self, who: str, people: Sequence[str]) -> None:
        """Name whose sheets there are; what is typed stays."""
        empty(self.others)
        whose = Field("whose", "Whose sheet", ROW, text=who, options=[(p, p) for p in people])
        choice = RowField(whose, FieldContext(self, style=LINE_STYLE))
        choice.text_changed.connect(self.turned)
        self.others.addWidget(choice)

    def all_scored(self) -> list[tuple[int, ScoredSample]]:
        """Every line something is typed for; RecordError names the first that does not fit, and
        the focus goes there."""
        out = []
        for row in self.rows:
            scored = row.scored(self._attributes)
            if not scored.empty:
                out.append((row.line.serving_id, scored))
        return out

    def saved(self) -> None:
        """What stands there is kept: it is no longer only typed."""
        for row in self.rows:
            row.loaded = row.texts()

    def begin(self, typed: dict[int, list[str]]) -> None:
        """Another session, with what was typed there and not kept."""
        self.rows, self.typed = [], typed

    def hold(self) -> None:
        """Remember what is typed and not kept."""
        for row in self.rows:
            self.typed.pop(row.line.serving_id, None)
            if row.texts() != row.loaded:
                self.typed[row.line.serving_id] = row.texts()

    def to_first(self) -> None:
        """Go to the first empty cell."""
        cells = [cell for row in self.rows for cell in row.cells]
        empty = next((cell for cell in cells if not cell.text()), cells[0] if cells else None)
        if empty is not None:
            empty.setFocus()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(watched, TextLine) and event.type() == QEvent.Type.FocusIn:
            row = next((r for r in self.rows if watched in r.all()), None)
            if row is None:
                return False  # of the session before
            self.where.setText(f"{row.line.code}: {watched.accessibleName()}")
            if watched in row.cells:
                self.stands.emit(self._attributes[row.cells.index(watched)])
        if pressed_key(event) == Qt.Key.Key_Escape:
            self.back_asked.emit()
            return True
        return False

    def _on_return(self) -> None:
        cells = [cell for row in self.rows for cell in row.all()]
        at = [cell is self.sender() for cell in cells].index(True) + 1
        (cells[at] if at < len(cells) else self.save).setFocus()


class _Row:
    """The cells of one code: a score an attribute, and below them words and defects."""

    def __init__(
        self, line: SheetEntry, attributes: Sequence[str], grid: QGridLayout, at: int, page: QWidget
    ) -> None:
        self.line = line
        scored = line.scored or ScoredSample()
        code = Label(line.code, LEAD)
        code.setFixedWidth(13 * STEP)
        grid.addWidget(code, at, 0)
        asked = [
            Field(str(k), name, AS_TYPED,
                  text=written(scored.scores[name]) if name in scored.scores else "")
            for k, name in enumerate(attributes)
        ]  # fmt: skip
        marks = ", ".join(_written(mark) for mark in scored.defects)
        asked += [Field("notes", "notes", AS_TYPED, text=scored.note, hint="notes"),
                  Field("defects", "defects, like bitter, slight open", AS_TYPED, text=marks,
                        hint="defects")]  # fmt: skip
        self.fields = Fields(asked, FieldContext(page, style=_STYLE), grid)
        *self.cells, self.words, self.defects = self.fields.lines.values()
        *boxes, words_box, defects_box = self.fields.made.values()
        for k, (cell, box) in enumerate(zip(self.cells, boxes, strict=True)):
            cell.setAlignment(Qt.AlignmentFlag.AlignRight)
            box.setFixedWidth(_CELL)
            grid.addWidget(box, at, k + 1)
        self._others = {n: v for n, v in scored.scores.items() if n not in attributes}
        self._photo = scored.photo
        half = max(1, (len(attributes) + 1) // 2)
        self.loaded = self.texts()
        grid.addWidget(words_box, at + 1, 1, 1, half)
        grid.addWidget(defects_box, at + 1, 1 + half, 1, max(1, len(attributes) - half))

    def all(self) -> list[TextLine]:
        """Every cell in the order they are typed."""
        return [*self.cells, self.words, self.defects]

    def texts(self) -> list[str]:
        """What stands in every cell."""
        return list(self.fields.texts())

    def put(self, texts: Sequence[str] | None) -> None:
        """Put texts into the cells, where there are any."""
        if texts is not None and len(texts) == len(self.loaded):
            self.fields.put_texts(texts)

    def scored(self, attributes: Sequence[str]) -> ScoredSample:
        """What is typed; RecordError, with the focus where it does not fit."""
        scores = dict(self._others)
        for name, cell in zip(attributes, self.cells, strict=True):
            if cell.text().strip():
                try:
                    scores[name] = points(cell.text(), name)
                except RecordError as error:
                    cell.setFocus()
                    cell.selectAll()
                    code = self.line.code
                    raise RecordError("desk.score-of-code", code=code, why=error) from None
        try:
            marks = read_defects(self.defects.text())
        except RecordError:
            self.defects.setFocus()
            raise
        return ScoredSample(scores, marks, self.words.text().strip(), self._photo)


def read_defects(text: str) -> tuple[tuple[str, str, str], ...]:
    """Defects as written, with commas between; RecordError names one that is none."""
    out = []
    for part in text.split(","):
        strength, wanted = split_strength(part)
        if not wanted:
            continue
        found = [t for t in terms() if t.term == wanted]
        if not found:
            near = [t for t in terms() if t.term.startswith(wanted)]
            if len(near) != 1:
                raise RecordError("desk.no-such-defect", wanted=wanted)
            found = near
        out.append((found[0].group, found[0].term, strength))
    return tuple(out)


def _written(mark: tuple[str, str, str]) -> str:
    return mark[1] if mark[2] == "definite" else f"{mark[2]} {mark[1]}"
