"""The finder: anything the journal holds, any place, command or page of help, by typing a part
of its name."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, Signal
from PySide6.QtGui import QKeyEvent, Qt
from PySide6.QtWidgets import QWidget

from journal.desk.form.filter_line import FilterLine
from journal.desk.labels import Label
from journal.desk.layouts import in_column
from journal.desk.spoken import announce
from journal.desk.theme import LEAD, SMALL, STEP, scaled
from journal.desk.wordlist import PopupFrame, WordList, WordRow
from journal.keeping import Journal
from journal.message import Instant
from journal.records import id_of
from journal.wording import worded
from journal.wording.sentences import record_word

ROWS, MOST = 10, 300  # in sight; in the list, which scrolls
_ROW = 9 * STEP
_LONG = 90  # letters of a note


@dataclass(frozen=True)
class Findable:
    """Something that can be gone to: its words, what it is, and what the window does with it.

    `target` is ("place", key), ("command", name), ("make", id), ("wheel", make id), ("plan", name),
    ("sum", name), ("session", instant), ("stock", (noun, id)), ("help", page) or ("word", term).
    """

    words: str
    kind: str
    target: tuple[str, object]
    more: str = ""  # what is looked through beside the words


class Finder(PopupFrame):
    """A line and a list over the window. `chosen` carries the target of what was picked."""

    chosen = Signal(object)

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._window = window
        hint = "Anything: a make, a note, a lot, a command"
        search = FilterLine("Find", hint, height=12 * STEP, size=LEAD)
        self.line = search.line
        self.list = WordList("Results", _ROW, at_right=True)
        self.none = Label("", SMALL, role="quiet", wrap=True)
        self._all: list[Findable] = []
        in_column(search, self.none, self.list, of=self, margins=3 * STEP)
        self.line.textChanged.connect(self._on_text)
        self.line.installEventFilter(self)
        self.list.taken.connect(self._on_taken)
        self.hide()

    def open_with(self, things: Iterable[Findable]) -> None:
        """Show the finder over its parent with these things to find."""
        self._all = list(things)
        self.line.clear()
        self._on_text("")
        room = self._window.width()
        width = min(scaled(680), room - 16 * STEP)
        height = min(scaled(_ROW * ROWS + 28 * STEP), self._window.height() - 20 * STEP)
        self.setGeometry((room - width) // 2, 16 * STEP, width, height)
        self.show()
        self.raise_()
        self.line.setFocus()

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            return self._on_key(event)
        if event.type() == QEvent.Type.FocusOut and self.isVisible():
            self.hide()
        return False

    def _on_key(self, event: QKeyEvent) -> bool:
        if self.list.on_arrow(event):
            return True
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._on_taken(self.list.meant())
        elif event.key() == Qt.Key.Key_Escape:
            self.hide()
        else:
            return False
        return True

    def _on_text(self, text: str) -> None:
        found = matching(self._all, text, MOST)
        self.list.show_lines([WordRow(one.words, one.kind, one.target) for one in found])
        if found:
            which = "desk.some-match" if text.strip() else "desk.can-be-found"
            self.none.say(worded(which, found=len(found), all=len(self._all)))
        else:
            self.none.say(worded("desk.nothing-matches", typed=text.strip()))
            announce(self.line, self.none.text())

    def _on_taken(self, target: object) -> None:
        if target is not None:
            self.hide()
            self.chosen.emit(target)


def matching(things: list[Findable], text: str, most: int) -> list[Findable]:
    """Those whose words hold every typed word; a beginning counts more than a middle."""
    wanted = text.lower().split()
    if not wanted:
        return things[:most]
    scored = []
    for order, thing in enumerate(things):
        words = thing.words.lower()
        whole = f"{words} {thing.more.lower()} {thing.kind.lower()}"
        if all(word in whole for word in wanted):
            begins = sum(words.startswith(w) or f" {w}" in words for w in wanted)
            scored.append((-begins, len(words) if words.startswith(wanted[0]) else 999, order))
    return [things[order] for _, _, order in sorted(scored)[:most]]


def things_of(journal: Journal) -> list[Findable]:
    """What a journal holds, newest makes first: makes, plans, wheels, stock, sessions that hide
    nothing, notes."""
    rows = journal.makes.rows()
    make, plan, wheel = map(record_word, ("make", "plan", "wheel"))
    out = [Findable(f"{r.code}  {r.name or r.plan}", make, ("make", r.id)) for r in rows]
    out += [Findable(name, plan, ("plan", name)) for name in journal.plans.names()]
    out += [Findable(w.code, wheel, ("wheel", w.make_id)) for w in journal.wheels.all()]
    return [*out, *_stock(journal), *_in_plans(journal), *_sessions(journal), *_notes(journal)]


def _in_plans(journal: Journal) -> list[Findable]:
    """What a plan adds and no lot in the stock is called: it leads to the plan."""
    stocked = {one.name.casefold() for one in journal.ingredients.all()}
    found: dict[str, Findable] = {}
    for plan in journal.plans.latest():
        for dose in (dose for stage in plan.stages for dose in stage.doses):
            if dose.name.casefold() not in stocked:
                words = worded("desk.found-in-plan", name=dose.name, plan=plan.name)
                one = Findable(words, dose.kind, ("plan", plan.name))
                found.setdefault(dose.name.casefold(), one)
    return list(found.values())


def _stock(journal: Journal) -> list[Findable]:
    """Ingredients by lot, brines, living cultures."""
    lots = [
        Findable(worded("desk.found-lot", name=one.name, lot=one.lot) if one.lot else one.name,
                 one.kind, ("stock", ("ingredient", one.id)))
        for one in journal.ingredients.all()
    ]  # fmt: skip
    baths = [Findable(one.name, record_word("brine"), ("stock", ("brine", one.id)))
             for one in journal.brines.all()]  # fmt: skip
    living = [
        Findable(worded("desk.found-generation", name=one.name, number=one.number),
                 worded("desk.found-culture"),
                 ("stock", ("generation", one.id)))
        for one in journal.generations.where(gone_ms=None)
    ]  # fmt: skip
    return lots + baths + living


def _sessions(journal: Journal) -> list[Findable]:
    """The sessions with scores by their day, the newest first."""
    return [
        Findable(worded("desk.tasting-of", at=Instant(one.at_ms, journal.zone)),
                 worded("desk.found-session", wheels=one.wheels), ("session", one.at_ms))
        for one in reversed(journal.sessions.all())
    ]  # fmt: skip


def _notes(journal: Journal) -> list[Findable]:
    """The notes of makes and wheels, the newest first, by their words."""
    codes: dict[int | None, str] = {row.id: row.code for row in journal.makes.rows()}
    wheels = {id_of(wheel): wheel for wheel in journal.wheels.all()}
    out = []
    for note in sorted(journal.notes.all(), key=lambda one: -one.at_ms):
        words = " ".join(note.text.split())
        wheel = wheels.get(note.wheel_id) if note.wheel_id is not None else None
        code = codes.get(note.make_id) if wheel is None else wheel.code
        if not words or code is None:
            continue
        cut = f"{words[:_LONG]}…" if len(words) > _LONG else words
        to = ("make" if wheel is None else "wheel", note.make_id)
        out.append(Findable(cut, worded("desk.found-note", code=code), to, words))
    return out
