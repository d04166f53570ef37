"""Importing files: the dialog for a logger's readings, and opening that for past makes."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QWidget

from journal.desk.form.choice import ChoiceOption
from journal.desk.form.line_field import UNTITLED
from journal.desk.form.readers import ChoiceField
from journal.desk.form.spec import CHOICE, Field, FieldContext
from journal.desk.incoming.charts import ReadingsChart
from journal.desk.incoming.columns import ShownColumn
from journal.desk.incoming.dialog import Incoming
from journal.desk.incoming.makes import ORDERS, BringInMakes
from journal.desk.labels import Label
from journal.exchange import ExchangeError
from journal.exchange.bring_in import AIR_KINDS, LoggerFile, preview, save_seen
from journal.exchange.loggers.mapping import Mapping
from journal.exchange.loggers.understand import LoggerColumn
from journal.exchange.skipped import reason_texts
from journal.keeping import Journal
from journal.quantities.units import quantity_named, unit_named
from journal.records.kinds import READING_KINDS
from journal.records.makes import Make
from journal.wording import text_of, worded
from journal.wording.counts import reasons_words
from journal.wording.readings import reading_name

__all__ = ["BringIn", "BringInMakes"]

TIME, LEFT_OUT = "time", "left out"
_VALUES = 3


class BringIn(Incoming):
    """Shows what a logger's file was understood as, and keeps its readings with a make."""

    def __init__(
        self, journal: Journal, make_id: int, path: str, parent: QWidget | None = None
    ) -> None:
        super().__init__("Import readings", path, parent)
        self.journal = journal
        self.make = journal.makes.get(make_id)
        self._seen: LoggerFile | None = None
        self.file.setText(worded("desk.file-for", file=self.file.text(), code=self.make.code))
        self.order_words = Label("Date order", role="quiet")
        order = Field("order", "", CHOICE, text="dmy", options=ORDERS[1:], name="Date order")
        self._order = ChoiceField(order, FieldContext(self, style=UNTITLED))
        self._order.text_changed.connect(self._on_order)
        self.order = self._order.choice
        for part in (self.order_words, self._order):
            self.extras.addWidget(part)
            part.hide()
        self.extras.addStretch(1)
        self._chosen_order = ""
        self._read(Mapping())

    def read_again(self) -> None:
        """Read the file with what was said about its columns."""
        self._read(self.chosen())

    def chosen(self) -> Mapping:
        """What the choices say now."""
        kinds = self.columns.kinds()
        times = tuple(name for name, kind in kinds.items() if kind == TIME)
        mapped = {
            name: "" if kind == LEFT_OUT else kind for name, kind in kinds.items() if kind != TIME
        }
        known = self._seen.understood if self._seen is not None else None
        columns = known.timing.columns if known is not None and known.timing is not None else ()
        found = tuple(known.raw.header[index] for index in columns) if known is not None else ()
        return Mapping(
            kinds=mapped,
            units=self.columns.units(),
            time=() if set(times) == set(found) else times,
            date_order=self._chosen_order,
        )

    def save_it(self) -> str:
        """Keep the readings."""
        if self._seen is None:
            raise ExchangeError("desk.nothing-to-import")
        report = save_seen(self.journal, self.make, self._seen, Path(self.path).name)
        text = worded("desk.readings-imported", rows=report.read, values=report.kept,
                      code=self.make.code, skipped=report.skipped,
                      why=reasons_words(reason_texts(report.reasons)))  # fmt: skip
        return " ".join([text, *report.warnings])

    def _read(self, chosen: Mapping) -> None:
        self.wait()
        task = self.work.start_file(
            "read", str(self.journal.path), _preview, self.make, self.path, chosen
        )
        task.finished.connect(self._on_read)
        task.failed.connect(self.on_failed)

    def _on_order(self, _words: str) -> None:
        self._chosen_order = self.order.key()
        self.read_again()

    def _on_read(self, seen: LoggerFile) -> None:
        self._seen = seen
        understood = seen.understood
        self.columns.show_columns([
            _shown(column, tuple(row[column.index] for row in seen.preview.rows[:_VALUES]))
            for column in understood.columns
        ])  # fmt: skip
        self._show_order(understood.timing.open, understood.date_order)
        taken = seen.taken
        if taken is None:
            self.show_picture(None)
            why_not = "" if seen.why_not is None else text_of(seen.why_not)
            self.show_fault(why_not, seen.preview.sentences, seen.preview.questions)
            if understood.timing.open and not understood.date_order:
                self.order.setFocus()
            return
        zero = self.make.started_ms
        series = {
            kind: ((part.at_ms - zero) / 60_000.0, part.value)
            for kind, part in taken.series.items()
            if len(part)
        }
        self.show_picture(ReadingsChart(series, self.make) if series else None)
        sentences = list(seen.preview.sentences)
        sentences.pop()  # the account: it stands beside the button
        account = worded("desk.readings-to-import", rows=taken.read, values=taken.kept,
                         skipped=taken.skipped,
                         why=reasons_words(reason_texts(taken.reasons)))  # fmt: skip
        if seen.remembered:
            sentences.insert(0, "The columns are read as in the last file with the same columns.")
        self.show_read(sentences, seen.preview.questions, account)
        self.save.setEnabled(taken.kept > 0)

    def _show_order(self, is_open: bool, order: str) -> None:
        """Ask for the order of the dates only where they leave it open."""
        for part in (self.order_words, self._order):
            part.setVisible(is_open)
        options = ORDERS[1:] if order else (ChoiceOption("", "unknown: choose"), *ORDERS[1:])
        self.order.offer(options, order)


def _preview(
    journal: Journal, make: Make, path: str, chosen: Mapping, _state: object
) -> LoggerFile:
    """Read the file; runs in the background."""
    return preview(journal, make, path, chosen)


def _shown(column: LoggerColumn, values: tuple[str, ...]) -> ShownColumn:
    kind = {"time": TIME, "left out": LEFT_OUT}.get(column.role, column.kind)
    options = (
        ChoiceOption(TIME, "time"),
        ChoiceOption(LEFT_OUT, "skip"),
        *(
            ChoiceOption(key, reading_name(spec))
            for key, spec in READING_KINDS.items()
            if key not in AIR_KINDS
        ),
    )
    units: tuple[ChoiceOption, ...] = ()
    if column.kind:
        found = quantity_named(READING_KINDS[column.kind].quantity).units
        units = tuple(ChoiceOption(unit.key, unit.label) for unit in found)
    if not column.sure:  # nobody named it: nothing is said of it until it is chosen
        assumed = (
            "choose" if column.unlikely else f"{unit_named(column.quantity, column.unit).label}?"
        )
        return ShownColumn(
            column.name, values, kind, options, "", (ChoiceOption("", assumed), *units)
        )
    return ShownColumn(column.name, values, kind, options, column.unit, units)
