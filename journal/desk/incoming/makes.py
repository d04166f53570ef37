"""The dialog for a table of past makes: what each column is, then the makes it holds."""

from __future__ import annotations

import re
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QWidget

from journal.desk.events import pressed_key
from journal.desk.form.choice import ChoiceOption
from journal.desk.form.fields import Fields
from journal.desk.form.line_field import FieldStyle, LineField
from journal.desk.form.spec import AS_TYPED, CHOICE, Field, FieldContext
from journal.desk.incoming.charts import ScoresChart
from journal.desk.incoming.columns import ShownColumn
from journal.desk.incoming.dialog import Incoming
from journal.desk.labels import Label
from journal.desk.theme import STEP
from journal.exchange import ExchangeError
from journal.exchange.past_columns import CHOICES, ChosenColumns, PastColumn, bare, columns_of
from journal.exchange.past_keeping import save_past
from journal.exchange.past_known import known_columns, with_known
from journal.exchange.past_makes import PastTable, read_past
from journal.exchange.skipped import reason_texts
from journal.exchange.spreadsheet import read_foreign
from journal.findings.columns import (
    AGE,
    CODE,
    DATE,
    GONE,
    LEFT_OUT,
    MAKE,
    MILK,
    NAME,
    PERSON,
    PLAN,
    REMARK,
    REPEAT,
    ROW_NUMBER,
    SCORE,
    SESSION,
    TASTED,
    THERE,
    USED,
    VARIABLE,
    WHEEL,
    WORDS,
)
from journal.findings.readers import MAKE_VARIABLES
from journal.findings.table import Variable
from journal.keeping import Journal
from journal.records import RecordError
from journal.wording import text_of, worded
from journal.wording.counts import reasons_words
from journal.wording.makes import imported_words


def _titled(variable: Variable) -> tuple[str, str]:
    """A variable and its unit, as a choice."""
    return variable.name, f"({variable.unit})" if variable.unit else ""


_OPTIONS = (
    ChoiceOption(DATE, "date of the make"),
    ChoiceOption(TASTED, "date of the tasting"),
    ChoiceOption(AGE, "age at tasting"),
    ChoiceOption(SCORE, "score"),
    ChoiceOption(VARIABLE, "variable"),
    ChoiceOption(NAME, "name"),
    ChoiceOption(CODE, "code"),
    ChoiceOption(MAKE, "one make (rows alike)"),
    ChoiceOption(PLAN, "plan"),
    ChoiceOption(MILK, "milk"),
    ChoiceOption(WHEEL, "wheel's weight"),
    ChoiceOption(THERE, "still in the room?"),
    ChoiceOption(GONE, "date it was eaten"),
    ChoiceOption(PERSON, "taster"),
    ChoiceOption(SESSION, "session"),
    ChoiceOption(REPEAT, "repeat"),
    ChoiceOption(REMARK, "remark"),
    ChoiceOption(LEFT_OUT, "left out"),
)
_OWN = "own: "  # before the name of one of the journal's variables
_OWN_OPTIONS = tuple(
    ChoiceOption(_OWN + one.variable.name, " ".join(filter(None, _titled(one.variable))))
    for one in MAKE_VARIABLES
)
_AS_FOUND = {
    WORDS: ChoiceOption(WORDS, "text, as written"),
    ROW_NUMBER: ChoiceOption(ROW_NUMBER, "row number"),
    USED: ChoiceOption(USED, "ingredient used"),
}
ORDERS = (
    ChoiceOption("", "detect the date order"),
    ChoiceOption("dmy", "day first"),
    ChoiceOption("mdy", "month first"),
    ChoiceOption("ymd", "year first"),
)
_EXTRAS = (
    Field("scale", "score scale", AS_TYPED, hint="0 to 10", name="Score scale"),
    Field("date", "date for rows without one", AS_TYPED, hint="2026-01-31",
          name="Date for rows without one"),
    Field("order", "", CHOICE, options=ORDERS, name="Date order"),
)  # fmt: skip
_SCALE = re.compile(r"\s*(-?\d+(?:[.,]\d+)?)\s*(?:to|-|–|\s)\s*(\d+(?:[.,]\d+)?)\s*")
_ROWS = 3


@dataclass(frozen=True)
class ReadTable:
    """A table as read: its columns with their first values, and the makes or why there are none."""

    columns: tuple[PastColumn, ...]
    first: tuple[tuple[str, ...], ...]
    table: PastTable | None
    fault: str = ""


class BringInMakes(Incoming):
    """Shows what a table of past makes was understood as, and keeps them."""

    def __init__(self, journal: Journal, path: str, parent: QWidget | None = None) -> None:
        super().__init__("Import past makes", path, parent)
        self.journal = journal
        self._report: dict[str, str] = {}
        self._table: PastTable | None = None
        self._found: dict[str, str] = {}
        style = FieldStyle(height=8 * STEP, inset=2 * STEP, titled=False)
        fields = Fields(_EXTRAS, FieldContext(self, style=style), self)
        self.scale, self.date = fields.lines.values()
        [self.order] = fields.choices.values()
        for made, width in zip(fields.made.values(), (24 * STEP, 30 * STEP, 0), strict=True):
            if made.field.title:
                self.extras.addWidget(Label(made.field.title, role="quiet"))
            self.extras.addWidget(made)
            if isinstance(made, LineField):
                made.line.setFixedWidth(width)
                made.line.editingFinished.connect(self.read_again)
        fields.watch(self)
        self.order.activated.connect(self._on_order)
        self.extras.addStretch(1)
        self._message: ChosenColumns | None = None
        self.read_again()

    def read_again(self) -> None:
        """Read the table with what was said about its columns."""
        for name, kind in self.columns.kinds().items():
            if self._found.get(name) != kind or name in self._report:
                self._report[name] = kind
        try:
            chosen = self.chosen()
        except RecordError as error:
            self.show_fault(text_of(error))
            return
        if chosen == self._message:
            return
        self._message = chosen
        self.wait()
        known = known_columns(self.journal)
        task = self.work.start("read", read_table, self.path, chosen, known, self.journal.zone)
        task.finished.connect(self._on_read)
        task.failed.connect(self.on_failed)

    def chosen(self) -> ChosenColumns:
        """What a person said so far."""
        columns = {
            name: _word(name, kind)
            for name, kind in self._report.items()
            if kind not in (SCORE, *_AS_FOUND)
        }
        scores = tuple(name for name, kind in self._report.items() if kind == SCORE)
        scale = scale_of(self.scale.text())
        scales = {} if scale is None else {"": scale}
        return ChosenColumns(
            columns,
            scores,
            scales=scales,
            date_order=self.order.key(),
            date=self.date.text().strip(),
        )

    def save_it(self) -> str:
        """Keep the makes."""
        if self._table is None:
            raise ExchangeError("desk.nothing-to-import")
        report = save_past(self.journal, self._table)
        return imported_words(
            report.read, report.kept, report.updated, reason_texts(report.reasons), report.codes
        )

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Enter in one of the lines reads the table with it; it does not keep yet."""
        if (
            watched in (self.scale, self.date)
            and pressed_key(event) in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
            and not self.save_ready()
        ):
            self.read_again()
            return True
        return False

    def save_ready(self) -> bool:
        """What stands in the lines is what was read."""
        try:
            return self.save.isEnabled() and self.chosen() == self._message
        except RecordError:
            return False

    def _on_order(self, _index: int) -> None:
        self.read_again()

    def _on_read(self, read: ReadTable) -> None:
        self._table = read.table
        self._found = {c.header: _kind(c) for c in read.columns}
        self.columns.show_columns([_shown(c, cells) for c, cells in
                                   zip(read.columns, read.first, strict=True)])  # fmt: skip
        if read.table is None:
            self.show_picture(None)
            self.show_fault(read.fault)
            return
        table = read.table
        self.show_picture(self._chart(table))
        skipped = sum(table.reasons.values())
        self.show_read(
            table.sentences,
            table.questions,
            worded(
                "desk.makes-to-import" if skipped else "desk.all-makes-to-import",
                rows=table.read,
                makes=len(table.makes),
                skipped=skipped,
                why=reasons_words(reason_texts(table.reasons)),
            ),
        )
        self.save.setEnabled(bool(table.makes))

    def _chart(self, table: PastTable) -> ScoresChart | None:
        names = [name for make in table.makes for name in make.scores]
        if not names:
            return None
        name = "overall" if "overall" in names else names[0]
        makes = [make for make in table.makes if name in make.scores]
        at_ms = [make.started_ms for make in makes]
        return ScoresChart(at_ms, [m.scores[name] for m in makes], name, self.journal.zone)


def read_table(
    path: str, chosen: ChosenColumns, known: dict[str, str], zone: str, _state: object
) -> ReadTable:
    """Read the table; runs in the background. What is amiss with its meaning is said, its
    columns shown all the same."""
    raw = read_foreign(path)
    fault, table = "", None
    try:
        columns = tuple(columns_of(raw, with_known(raw.header, chosen, known)))
    except ExchangeError as error:
        columns, fault = tuple(columns_of(raw, ChosenColumns())), text_of(error)
    try:
        table = None if fault else read_past(path, chosen, zone=zone, known=known)
    except (ExchangeError, RecordError) as error:
        fault = text_of(error)
    return ReadTable(columns, tuple(tuple(cells[:_ROWS]) for cells in raw.columns), table, fault)


def scale_of(text: str) -> tuple[float, float] | None:
    """The ends of a scale as typed, "0 to 100"; None for nothing and for 0 to 10.

    Raises
    ------
    RecordError
        When it is no scale.
    """
    if not text.strip():
        return None
    found = _SCALE.fullmatch(text)
    if found is None:
        raise RecordError("desk.no-scale", typed=text[:30])
    low, high = (float(part.replace(",", ".")) for part in found.groups())
    if not low < high:
        raise RecordError("desk.scale-upside-down")
    return None if (low, high) == (0.0, 10.0) else (low, high)


def _word(name: str, kind: str) -> str:
    """What to call a column so that it is taken as that kind."""
    if kind == LEFT_OUT:
        return "skip"
    if kind.startswith(_OWN):
        return kind.removeprefix(_OWN)
    if kind != VARIABLE:
        return kind
    plain = bare(name)
    return f"{plain} measured" if plain.lower() in CHOICES else plain


def _kind(column: PastColumn) -> str:
    """What a column was taken as, as its choice has it."""
    if column.role == VARIABLE and column.meaning is not None:
        return _OWN + column.name
    return PERSON if column.who else column.role


def _shown(column: PastColumn, cells: tuple[str, ...]) -> ShownColumn:
    extra = (_AS_FOUND[column.role],) if column.role in _AS_FOUND else ()
    own = _OWN_OPTIONS if column.role in (VARIABLE, USED, SCORE) else ()
    return ShownColumn(column.header, cells, _kind(column), (*_OPTIONS, *extra, *own))
