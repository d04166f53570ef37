"""A logger's file as a source: which one, and what each of its columns is."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from journal.desk.bring_in import LEFT_OUT, TIME
from journal.desk.bring_in import _shown as shown_column
from journal.desk.form.line_field import UNTITLED
from journal.desk.form.readers import ChoiceField, PathField
from journal.desk.form.spec import Field, FieldContext
from journal.desk.incoming.columns import ColumnsView
from journal.desk.incoming.makes import ORDERS
from journal.desk.labels import Label
from journal.desk.layouts import in_column
from journal.desk.theme import STEP
from journal.desk.work import Work
from journal.exchange.loggers.mapping import Mapping
from journal.exchange.loggers.preview import preview
from journal.exchange.loggers.table import read_table
from journal.exchange.loggers.understand import Understood, understand
from journal.records import RecordError
from journal.records.sources import Source
from journal.wording import text_of

_VALUES = 1  # there is room for so many beside the choices
_FILE = Field("file", "The file a logger writes", hint="the file the logger writes")
_ORDER = Field("order", "Order of the dates", text="dmy", options=ORDERS[1:])


class FilePage(QWidget):
    """The path, and the columns as they were understood. `changed` says that a choice was made
    or the file was read."""

    changed = Signal()

    def __init__(self, work: Work, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._work = work
        self._understood: Understood | None = None
        self._first = Mapping()
        around = FieldContext(self, style=UNTITLED)
        file, self._order = PathField(_FILE, around), ChoiceField(_ORDER, around)
        file.picked.connect(self._on_chosen)
        self.path, self.order = file.line, self._order.choice
        self.path.editingFinished.connect(self.read)
        self.columns = ColumnsView()
        self.columns.chosen.connect(self.read)
        self._order.text_changed.connect(self._on_order)
        self._order.hide()
        self._chosen_order = ""
        self.says = Label("", role="quiet", wrap=True)
        in_column(file, (self.columns, 1), self._order, self.says, of=self, margins=0, gap=3 * STEP)

    def show_source(self, source: Source) -> None:
        """Put a source's settings there."""
        self._first = Mapping.from_dict(source.options.get("mapping") or {})
        self.path.setText(source.text("path"))
        self.read()

    def settings(self) -> dict[str, Any]:
        """The path, and the whole mapping once the file was read."""
        found: dict[str, Any] = {"path": self.path.text().strip()}
        if self._understood is not None:
            found["mapping"] = self._understood.mapping.to_dict()
        elif self._first.shape:
            found["mapping"] = self._first.to_dict()
        elif found["path"]:
            raise RecordError("desk.columns-not-known")
        return found

    def reading(self) -> str:
        """The kind of the first column that is a reading, "" before the file was read."""
        readings = self._understood.readings if self._understood else ()
        return readings[0].kind if readings else ""

    def read(self) -> None:
        """Read the file with what was said about its columns."""
        path = self.path.text().strip()
        if not path:
            return
        task = self._work.start("sensor file", _understood, path, self._message())
        task.finished.connect(self._on_read)
        task.failed.connect(self._on_failed)

    def _message(self) -> Mapping:
        known = self._understood
        if known is None:
            return self._first
        kinds = self.columns.kinds()
        times = tuple(name for name, kind in kinds.items() if kind == TIME)
        found = tuple(known.raw.header[index] for index in known.timing.columns)
        return Mapping(
            kinds={n: "" if k == LEFT_OUT else k for n, k in kinds.items() if k != TIME},
            units=self.columns.units(),
            time=() if set(times) == set(found) else times,
            date_order=self._chosen_order,
        )

    def _on_chosen(self, _path: str) -> None:
        self._understood, self._first = None, Mapping()
        self.read()

    def _on_order(self, _words: str) -> None:
        self._chosen_order = self.order.key()
        self.read()

    def _on_read(self, found: Understood) -> None:
        self._understood = found
        shown = preview(found)
        self.columns.show_columns([
            shown_column(column, tuple(row[column.index] for row in shown.rows[:_VALUES]))
            for column in found.columns
        ])  # fmt: skip
        self._order.setVisible(found.timing.open)
        self.says.set_role("attention" if shown.questions else "quiet")
        self.says.setText("\n".join(f"▲ {question}" for question in shown.questions))
        self.changed.emit()

    def _on_failed(self, error: Exception) -> None:
        self.says.set_role("attention")
        self.says.setText(f"▲ {text_of(error)}")


def _understood(path: str, chosen: Mapping, _state: object) -> Understood:
    """Read the file; runs in the background."""
    return understand(read_table(path), chosen)
