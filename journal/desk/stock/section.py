"""What a section of the stock is: a table, what can be done to its rows, details of one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Generic, Protocol, TypeVar

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QStackedWidget, QWidget

from journal.desk.buttons import MAIN, Button, WordButton
from journal.desk.commands import is_key
from journal.desk.empty import EmptyPage
from journal.desk.form.form import FormSpec
from journal.desk.layouts import in_column
from journal.desk.place import Desk
from journal.desk.tables import Column, RowsView
from journal.desk.theme import SMALL, STEP
from journal.keeping import Journal, KeepingError
from journal.records import RecordError
from journal.records.instants import local
from journal.wording import text_of, worded
from journal.wording.dates import short_day
from journal.wording.keys import key_of
from journal.wording.languages import translated

ENTER, DELETE, LEFT, RIGHT = "Return", "Delete", "Left", "Right"
_USES = {"delete": DELETE, "correct": ENTER}  # what else the keys of these do here
_SIDES: dict[int, str] = {Qt.Key.Key_Left: LEFT, Qt.Key.Key_Right: RIGHT}
_ACTS = tuple(f"act_{number}" for number in range(1, 10))


class Keyed(Protocol):
    """A row that says what it stands for."""

    @property
    def key(self) -> object:
        """What it stands for."""


Row = TypeVar("Row", bound=Keyed)


@dataclass(frozen=True)
class Act:
    """Something to do: its key in the table ("" for its figure in the row of acts), its words,
    what does it; `row`: to a row.

    `main` are the words of the main button, on the one act that it does; `begin` those of the
    button on the empty page.
    """

    key: str
    words: str
    run: Callable[[], None]
    row: bool = True
    main: str = ""
    begin: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "words", translated(self.words))


@dataclass(frozen=True)
class DetailTable:
    """A small table on the right page: a title, its columns, its rows (tuples of text)."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    empty: str = ""


@dataclass(frozen=True)
class Detail:
    """Details of a row: a heading, a quiet line, what is to be seen to, tables, a caution.

    `course` is a strength over time, (instant, %) with the wanted one, for a bath.
    """

    head: str = ""
    about: str = ""
    doubts: tuple[str, ...] = ()
    tables: tuple[DetailTable, ...] = ()
    caution: str = ""
    course: tuple[tuple[int, float], ...] = ()
    wanted_pct: float | None = None
    stays: tuple[tuple[int, int | None], ...] = ()
    note: str = ""


class KeyedTable(RowsView[Any]):
    """A table whose figures do something: `key` carries the use, as "act_1", or "Delete",
    "Return", "Left", "Right"."""

    key = Signal(str)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        found = _SIDES.get(event.key(), "") if plain else ""
        found = found or next((use for use in (*_ACTS, *_USES) if is_key(event, use)), "")
        found = _USES.get(found, found)
        if found:
            self.key.emit(found)
            return
        super().keyPressEvent(event)


class Section(QWidget, Generic[Row]):
    """One section. A subclass gives `title`, `listens_to` (the tables it hears of), `acts`,
    `columns`, `rows`, `detail` and `empty_text`.

    `asks` carries a FormSpec, `says` a sentence (and whether it wants attention), `turned` -1 or 1
    for the section beside, `shown` a Detail, `goes` a place and a make to go to.
    """

    title = ""
    listens_to: frozenset[str] = frozenset()

    asks = Signal(object)
    says = Signal(str, bool)
    turned = Signal(int)
    shown = Signal(object)
    goes = Signal(str, object)

    @property
    def caution(self) -> str:
        """What stands on the right page while no row is selected."""
        return ""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._stood_back = False
        self.table = KeyedTable(self.title, self.columns(), takes=_no_letter)
        self.table.picked.connect(self._on_picked)
        self.table.opened.connect(self._on_opened)
        self.table.key.connect(self._on_key)
        self.words: list[WordButton] = []
        self._acts = _with_figures(self.acts())
        self._main = next(act for act in self._acts if act.main)
        self._first = next((act for act in self._acts if act.begin), None)
        self.button = Button(self._main.main, MAIN, "main")
        self.button.clicked.connect(self._on_main)
        self.begins: Button | None = None
        self.empty = self._empty()
        self.pages = QStackedWidget()
        self.pages.addWidget(self.table)
        self.pages.addWidget(self.empty)
        ignored = QSizePolicy.Policy.Ignored
        for page in (self.table, self.empty, self):
            page.setSizePolicy(ignored, ignored)  # a form below may take the room
        self.foot = self._foot()
        in_column((self.pages, 1), self.foot, of=self, margins=0, gap=2 * STEP)

    # What a section gives

    def acts(self) -> tuple[Act, ...]:
        """What can be done there."""
        raise NotImplementedError  # each section gives its own

    def columns(self) -> Sequence[Column[Row]]:
        """The columns of its table."""
        raise NotImplementedError  # each section gives its own

    def rows(self) -> Sequence[Row]:
        """Its rows now."""
        raise NotImplementedError  # each section gives its own

    def detail(self, row: Row) -> Detail:
        """Details of a row."""
        raise NotImplementedError  # each section gives its own

    def empty_text(self) -> tuple[str, str]:
        """The heading and the sentence of its empty page."""
        raise NotImplementedError  # each section gives its own

    # What it has

    @property
    def journal(self) -> Journal:
        """The open journal."""
        return self.desk.journal

    @property
    def now_ms(self) -> int:
        """The present instant."""
        return self.desk.clock()

    @property
    def instants(self) -> tuple[str, int]:
        """The kitchen's zone, and the present."""
        return self.journal.zone, self.now_ms

    @property
    def today(self) -> date:
        """The day on the kitchen's calendar."""
        return local(self.now_ms, self.journal.zone).date()

    def moment(self, day_ms: int | None) -> int:
        """The instant of a day that was typed: today is now, another day its noon."""
        zone = self.journal.zone
        if day_ms is None or short_day(day_ms, zone) == short_day(self.now_ms, zone):
            return self.now_ms
        return day_ms

    @property
    def current_row(self) -> Row:
        """The selected row; what is done to a row is not done without one."""
        row: Row | None = self.table.current()
        if row is None:
            raise KeepingError("desk.entry-is-gone")
        return row

    def load(self) -> None:
        """Show the rows as they are now, staying on the current one."""
        before: Row | None = self.table.current()
        rows = list(self.rows())
        self.table.blockSignals(True)
        self.table.show_rows(rows)
        if before is not None:
            self.table.select_where(lambda row: row.key == before.key)
        self.table.blockSignals(False)
        self.pages.setCurrentIndex(0 if rows else 1)
        self.foot.setVisible(bool(rows) and not self._stood_back)
        self.show_detail()

    def stand_back(self, back: bool) -> None:
        """While a form is open, offer nothing else."""
        self._stood_back = back
        self.foot.setVisible(not back and bool(self.table.rows))
        if self.begins is not None:
            self.begins.setVisible(not back)

    def show_detail(self) -> None:
        """Say what is to be said of the current row."""
        row: Row | None = self.table.current()
        self.shown.emit(Detail(caution=self.caution) if row is None else self.detail(row))

    def take_focus(self) -> None:
        """To the table, or the button that begins."""
        (self.table if self.table.rows else self.empty).setFocus()

    def do_main(self) -> None:
        """The main act; in an empty section the one that begins."""
        if self.table.current() is not None:
            self._do(self._main)
        elif self._first is not None:
            self._do(self._first)

    def _do(self, act: Act) -> None:
        """Do something with the journal; what it refuses is said in the place."""
        if act.row and self.table.current() is None:
            return
        try:
            act.run()
        except (KeepingError, RecordError) as error:
            self.says.emit(text_of(error), True)

    def ask(self, spec: FormSpec) -> None:
        """Open a form."""
        self.asks.emit(spec)

    # Build

    def _empty(self) -> EmptyPage:
        heading, sentence = self.empty_text()
        buttons: tuple[Button, ...] = ()
        if self._first is not None:
            button = Button(self._first.begin, MAIN, "main")
            button.clicked.connect(self._on_main)
            buttons, self.begins = (button,), button
        page = EmptyPage(heading, sentence, buttons)
        page.column.setContentsMargins(3 * STEP, 6 * STEP, 3 * STEP, 3 * STEP)
        return page

    def _foot(self) -> QWidget:
        holder = QWidget()
        row = QHBoxLayout()
        row.setSpacing(3 * STEP)
        in_column(
            (self.button, 0, Qt.AlignmentFlag.AlignLeft),
            row,
            of=holder,
            margins=(3 * STEP, 0, 3 * STEP, 0),
            gap=2 * STEP,
        )
        for act in self._acts:
            key = "Enter" if act.key == ENTER else key_of(act.key.lower())
            word = WordButton(f"{key} {act.words}".lstrip(), size=SMALL)
            spoken = worded("desk.with-key", words=act.words, key=key) if key else act.words
            word.setAccessibleName(spoken)
            word.setProperty("act", act.key)
            word.clicked.connect(self._on_word)
            self.words.append(word)
            row.addWidget(word)
        row.addStretch(1)
        return holder

    # Handlers

    def _on_picked(self, _row: object) -> None:
        self.show_detail()

    def _on_opened(self, _row: object) -> None:
        self._on_key(ENTER)

    def _on_key(self, key: str) -> None:
        if key in (LEFT, RIGHT):
            self.turned.emit(-1 if key == LEFT else 1)
            return
        for act in self._acts:
            if act.key == key:
                self._do(act)

    def _on_word(self) -> None:
        self._on_key(str(self.sender().property("act")))

    def _on_main(self) -> None:
        self.do_main()


def _no_letter(_text: str) -> bool:
    return False  # figures are acts


def _with_figures(acts: Sequence[Act]) -> tuple[Act, ...]:
    """The acts, those without a key of their own with the figure that counts them."""
    figures = iter(_ACTS)
    return tuple(act if act.key else replace(act, key=next(figures)) for act in acts)
