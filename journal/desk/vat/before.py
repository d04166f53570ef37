"""Before the start: a short list in one's own words, ticked or printed; instruments checked."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from journal.desk.buttons import FAINT, MAIN, PLAIN, Button
from journal.desk.commands import is_key
from journal.desk.form.frame import FramedDialog
from journal.desk.form.line_field import UNTITLED
from journal.desk.form.readers import LinesField
from journal.desk.form.spec import Field, FieldContext
from journal.desk.labels import Hairline, Label
from journal.desk.layouts import in_column, in_row
from journal.desk.theme import STEP, scaled
from journal.desk.vat.ticks import TickLine
from journal.keeping import Journal, KeepingError
from journal.records import id_of
from journal.records.makes import Make
from journal.records.timers import TickedLine
from journal.wording import text_of, worded
from journal.wording.checks import checks_words
from journal.wording.dates import clock

_SETTING = "before the start"
# Usual hygiene of a kitchen that makes cheese: common practice, no source.
USUAL = (
    "Vat, tools, moulds and cloths are clean, rinsed and sanitised",
    "Hands are washed; nobody helps who is ill or has an open cut",
    "The thermometer was checked in ice water",
    "The pH meter was checked in two buffers",
    "Helpers were asked about allergies",
)


def own_list(journal: Journal) -> list[str]:
    """The list of this journal: its own words, else the usual ones."""
    saved = journal.setting(_SETTING)
    return [line for line in saved.splitlines() if line.strip()] if saved else list(USUAL)


class BeforeStart(FramedDialog):
    """Lines to tick with the digit before them; Enter ticks the next one. Without a make they
    can only be changed and printed. `check_asked` names an instrument."""

    help_topic = "vat/What you see here"

    check_asked = Signal(str)

    def __init__(
        self, journal: Journal, make: Make | None, now: Callable[[], int], parent: QWidget
    ) -> None:
        super().__init__("Before the start", parent)
        self.setMinimumWidth(min(scaled(184 * STEP), 270 * STEP))
        self._journal, self._make, self._now = journal, make, now
        self.lines: list[TickLine] = []
        self._message = Label("", role="quiet", wrap=True)
        self._checked = Label("", role="quiet", wrap=True)
        self._rows = QVBoxLayout()
        self._rows.setSpacing(STEP)
        lines = Field("lines", "The list, a line each")
        self.text = LinesField(lines, FieldContext(self, style=UNTITLED))
        self.text.hide()
        self.text.entry.installEventFilter(self)
        self._build()
        self._fill()

    # Build

    def _build(self) -> None:
        self.ice = Button("Thermometer in ice", PLAIN, "ice")
        self.buffers = Button("Meter in two buffers", PLAIN, "buffers")
        self.put_away = Button("Done", MAIN, "Esc")
        self.reword = Button("Edit", FAINT, "correct")
        self.to_paper = Button("Print", FAINT, "print")
        for button, slot in (
            (self.ice, self._on_ice), (self.buffers, self._on_buffers),
            (self.put_away, self._on_done), (self.reword, self.edit_list),
            (self.to_paper, self.print_list),
        ):  # fmt: skip
            button.clicked.connect(slot)
        caution = self._caution()
        self.caution = Label(f"▲ {caution}" if caution else "", role="attention", wrap=True)
        self.caution.setVisible(bool(caution))
        self.arrange(
            in_column(self._rows, self.text), Hairline(),
            in_row(self.ice, self.buffers, None, gap=3 * STEP), self._checked, self.caution,
            acts=(self.reword, self.to_paper, self.put_away), message=self._message,
        )  # fmt: skip

    def _caution(self) -> str:
        """What the plan of the make warns of; "" for none."""
        if self._make is None:
            return ""
        return self._journal.plans.get(self._make.plan_id).caution

    # Fill

    def _fill(self) -> None:
        for line in self.lines:
            self._rows.removeWidget(line)
            line.hide()
            line.deleteLater()
        ticked = self._ticked()
        self.lines = []
        for index, words in enumerate(own_list(self._journal)):
            line = TickLine(index + 1, words, self)
            if self._make is not None and words in ticked:
                line.show_ticked(clock(ticked[words].at_ms, self._make.zone))
            line.pressed.connect(self.tick)
            self._rows.addWidget(line)
            self.lines.append(line)
        left = sum(not line.ticked for line in self.lines)
        if self._make is None:
            self._say("Ticks are saved with a make; none is running.")
        elif left == 0:
            self._say("All done.")
        else:
            self._say("A digit ticks its line, Enter ticks the next one.")
        self._show_checked()
        self.adjustSize()

    def _show_checked(self) -> None:
        words = checks_words(self._journal.readings.checks, self._now(), self._journal.zone)
        self._checked.setText(f"{words}." if words else "No instrument was checked yet.")

    def _ticked(self) -> dict[str, TickedLine]:
        if self._make is None:
            return {}
        return {tick.words: tick for tick in self._journal.ticks.where(make_id=self._make.id)}

    def tick(self, index: int) -> None:
        """Tick a line, or take its tick away."""
        if self._make is None or not 1 <= index <= len(self.lines):
            return
        words = self.lines[index - 1].words
        saved = self._ticked().get(words)
        try:
            if saved is None:
                self._journal.ticks.save(TickedLine(id_of(self._make), words, self._now()))
            else:
                self._journal.ticks.remove(id_of(saved))
        except KeepingError as error:
            self._say(f"▲ {text_of(error)}")
            return
        self._fill()

    def edit_list(self) -> None:
        """Change the list; again, or Ctrl+Enter, keeps it."""
        if self.text.isHidden():
            self.text.set_text("\n".join(own_list(self._journal)))
            self.text.show()
            self.reword.set_label("Save", "main")
            self._say("One item per line. An empty list restores the usual one.")
            self.text.setFocus()
            self.adjustSize()
            return
        lines = [line.strip() for line in self.text.text().splitlines() if line.strip()]
        try:
            self._journal.set_setting(_SETTING, "\n".join(lines))
        except KeepingError as error:
            self._say(f"▲ {text_of(error)}")
            return
        self.text.hide()
        self.reword.set_label("Edit", "correct")
        self._fill()
        self.setFocus()

    def print_list(self) -> None:
        """Show the list as a page with boxes to tick, to be printed or saved."""
        from journal.desk.printing import Printout, PrintPreview
        from journal.desk.vat.before_sheet import write_list

        lines = own_list(self._journal)

        def report(sentence: str, attention: bool) -> None:
            self._say(f"▲ {sentence}" if attention else sentence)

        what = Printout("Print the list", "before the start.pdf", partial(write_list, lines))
        PrintPreview(what, partial(worded, "desk.list-saved-as"), report, self).open()

    # Handlers

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.ActivationChange and self.isActiveWindow():
            self._show_checked()  # a check may just have been kept in front of this

    def keyPressEvent(self, event: QKeyEvent) -> None:
        acts = {"print": self.print_list, "leave": self.close, "correct": self.edit_list,
                "ice": self._on_ice, "buffers": self._on_buffers}  # fmt: skip
        acts |= {f"act_{number}": partial(self.tick, number) for number in range(1, 10)}
        run = next((act for use, act in acts.items() if is_key(event, use)), None)
        if run is not None:
            run()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self._tick_next()
        else:
            super().keyPressEvent(event)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        pressed = isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress
        if pressed and isinstance(event, QKeyEvent) and is_key(event, "main"):
            self.edit_list()
            return True
        return False

    def _tick_next(self) -> None:
        following = next((i for i, line in enumerate(self.lines) if not line.ticked), None)
        if following is None:
            self.close()
        else:
            self.tick(following + 1)

    def _on_ice(self) -> None:
        self.check_asked.emit("thermometer")

    def _on_buffers(self) -> None:
        self.check_asked.emit("meter")

    def _on_done(self) -> None:
        self.close()

    def _say(self, sentence: str) -> None:
        self._message.setText(sentence)
