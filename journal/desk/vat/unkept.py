"""What is typed and not kept is written down on a short pause, and stands there again later."""

from __future__ import annotations

from PySide6.QtCore import QTimer

from journal.desk.vat.half_typed import HalfTyped, half_typed_of, write_half_typed
from journal.records.makes import Make

PAUSE_MS = 250  # after a key, until it is written down; emptied, kept and left are at once
NOT_KEPT = "From before, not kept yet: Enter keeps it."
# The acts that ask for words, by whom the answer goes to.
_ASKED_BY = {
    "_on_longer": "ask_longer",
    "_on_again": "again",
    "_on_began": "ask_began",
    "_on_timer": "ask_timer",
    "_on_note": "ask_note",
}


class Unkept:
    """Mixed into the place of the vat before Place. What stands half typed stays with the make it
    was typed for, whether another make comes to hand or the window closes."""

    def listen_to_typing(self) -> None:
        """Hear of every key in the fields of the page."""
        self._typed_for: Make | None = None
        self._written = HalfTyped()
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(PAUSE_MS)
        self._rest.timeout.connect(self.write_down)
        page = self.page
        fields = (page.entry.temp.line, page.entry.acid.line, page.entry.at_line)
        for line in (*fields, *page.ask.lines, page.finish.line):
            line.textChanged.connect(self._on_typed)
        page.ask.closed.connect(self.write_down)

    def write_down(self) -> None:
        """Write down what is typed and not kept, as far as it changed."""
        self._rest.stop()
        if self._typed_for is None:
            return
        half = self._half_now()
        if half != self._written:
            write_half_typed(self.desk.settings, self._typed_for.uuid, half)
            self._written = half

    def put_aside(self) -> None:
        """Another make comes to hand: write down what is typed for this one, and empty the page."""
        self.write_down()
        self._typed_for = None
        self.typing.put_down()
        self.page.entry.put_texts(("", ""))
        if self.page.ask.asking:
            self.page.ask.leave()
        self.page.ask.unfinished = {}
        self.page.finish.line.clear()
        if self.page.finish.asking:
            self.page.finish.put_away()

    def take_up(self) -> None:
        """Put back what was typed for the make that is shown now."""
        make = self._whole.make
        half = half_typed_of(self.desk.settings, make.uuid)
        if not half.empty:
            self._put_readings(half)
            self._ask_again(half)
            self._weigh_again(half)
        self._typed_for, self._written = make, half
        self.write_down()

    def _half_now(self) -> HalfTyped:
        """What is typed now; what a question or a correction began with is not."""
        entry, ask, finish = self.page.entry, self.page.ask, self.page.finish
        temp, acid = entry.texts()
        corrects, at = self.typing.corrects, entry.at_text
        if corrects is not None and not self.typing.corrects_otherwise:
            temp, acid = ("", acid) if corrects[0] == "milk-temp" else (temp, "")
            corrects, at = None, ""
        act = ask.answer_to if ask.touched or ask.answer_to == "_on_photo" else ""
        return HalfTyped(
            temp, acid, entry.acid_kind if acid else "", at, corrects,
            act, ask.texts if act else (), self._photo if act == "_on_photo" else "",
            dict(ask.unfinished),
            finish.line.text(), finish.asking and bool(finish.line.text()),
        )  # fmt: skip

    def _put_readings(self, half: HalfTyped) -> None:
        entry = self.page.entry
        if half.acid_kind:
            entry.set_acid_kind(half.acid_kind)
        entry.put_texts((half.temp, half.acid))
        if half.at:
            entry.open_late()
            entry.at_line.setText(half.at)
            entry.focus_last()
        for field in entry.fields:
            if field.line.text():
                field.note(f"{field.said.text()} {NOT_KEPT}".strip())
        if half.corrects is not None and not self._correct_again(half):
            entry.field_for(half.corrects[0]).clear_text()
            text = half.temp if half.corrects[0] == "milk-temp" else half.acid
            self.say("half typed", f"{text} was to correct a reading that is not there any more.")
        self.page.refit()

    def _correct_again(self, half: HalfTyped) -> bool:
        kind, at_ms, value = half.corrects
        for reading in self.journal.readings.last(self._whole.make.id, 50):
            if (reading.kind, reading.at_ms, reading.value) == (kind, at_ms, value):
                text = half.temp if kind == "milk-temp" else half.acid
                self.typing.correct(reading, text, half.at)
                return True
        return False

    def _ask_again(self, half: HalfTyped) -> None:
        """Ask again what was asked; where that cannot be, what was answered is said."""
        self.page.ask.unfinished = dict(half.waiting)
        if not half.act:
            return
        if half.photo:
            self.take_photo(half.photo)
        elif half.act in _ASKED_BY:
            getattr(self, _ASKED_BY[half.act])()
        if self.page.ask.asking:
            self.page.ask.put_texts(half.answers)
        elif half.words:
            self.say("half typed", f"Typed before and not kept: {half.words}.")

    def _weigh_again(self, half: HalfTyped) -> None:
        if not half.weights or self._whole.make.finished_ms is not None:
            return
        self.page.finish.line.setText(half.weights)
        if half.weighing and self.has_running():
            self.page.finish.ask()

    def _on_typed(self, text: str) -> None:
        if self._typed_for is None:
            return
        if text:
            self._rest.start()
        else:
            self.write_down()  # what is kept or erased does not come back
