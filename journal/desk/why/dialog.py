"""Why it was so, as a page over the place: health first, then likely, ruled out, not known."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.desk.buttons import FAINT, MAIN, PLAIN, Button
from journal.desk.commands import bind
from journal.desk.form.choice import ask_menu
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Hairline, Label, Marked
from journal.desk.place import CurrentRecord, Desk, PlanChange
from journal.desk.scrollbars import scrolled
from journal.desk.theme import LEAD, SMALL, STEP
from journal.desk.why.beside import CutAndStrips
from journal.desk.why.picture import WhyPicture
from journal.desk.why.rows import CauseRow, StripLegend, WordsBlock
from journal.findings.trade import defects_with_causes
from journal.findings.why import DOUBTFUL, LIKELY, NOTE, OPEN, OUT, SuspectedCause, Why, next_plan
from journal.reports.why import WhyAnswer, why_of
from journal.wording import text_of, worded
from journal.wording.why import (
    COMPOSED,
    FOOT,
    WRITE_DOWN,
    causes_text,
    composition_words,
    disagree_words,
    named_words,
    next_time_words,
    note_words,
    nothing_words,
    open_words,
    out_words,
    plan_button_words,
    title_words,
    whose_words,
    why_verdict_words,
)

WORK = "why"
_LEAST, _SHARE = QSize(840, 560), 0.96
_PICTURE = 44 * STEP  # its points and the words above them


class WhyDialog(FramedDialog):
    """The causes of a defect of a wheel or make: left what is found, right the own makes along the
    selected cause, with its sources. `planned` carries a PlanChange to be opened."""

    planned = Signal(object)
    help_topic = "makes/What to do"

    def __init__(self, desk: Desk, about: CurrentRecord, parent: QWidget, defect: str = "") -> None:
        super().__init__("Why was it so?", parent)
        self._desk, self._about = desk, about
        self.answer: WhyAnswer | None = None
        self.rows: list[CauseRow] = []
        self.whose = Label(about.called, role="quiet")
        self.named = Label("", wrap=True)
        self.health = Marked()
        self.verdict = Label("", LEAD, wrap=True)
        self.found = QVBoxLayout()
        self.picture = WhyPicture()
        self.picture.setMinimumHeight(_PICTURE)
        self.beside = CutAndStrips(desk.journal.photos.file)
        self.none = Label("", role="quiet", wrap=True)
        self.sources = Label("", SMALL, role="quiet", wrap=True)
        self.foot = Label(worded(FOOT), SMALL, role="quiet", wrap=True)
        self.message = Label("", wrap=True)
        self.plan = Button("Plan it", MAIN, "main")
        self.other = Button("Another defect", PLAIN, "choose")
        self.away = Button("Close", FAINT, "Esc")
        self.plan.clicked.connect(self.plan_it)
        self.other.clicked.connect(self.ask_defect)
        self.away.clicked.connect(self.reject)
        bind("main", self, self.plan_it)
        bind("choose", self, self.ask_defect)
        self.health.say("")
        self.plan.hide()
        body = QHBoxLayout()
        body.setSpacing(8 * STEP)
        body.addWidget(self._left(), 11)
        self.right = self._right()
        body.addWidget(self.right, 9)
        self.arrange(body, acts=(self.away, self.other, self.plan), message=self.message,
                     beside=self.whose)  # fmt: skip
        size = parent.size() * _SHARE
        self.setMinimumSize(_LEAST)
        self.resize(size.expandedTo(_LEAST))
        self.finished.connect(self._on_finished)
        self.look(defect)

    def _left(self) -> QWidget:
        inner = QWidget()
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 0, 4 * STEP, 0)
        column.setSpacing(2 * STEP)
        for part in (self.health, self.named, self.verdict):
            column.addWidget(part)
        self.found.setSpacing(2 * STEP)
        column.addLayout(self.found)
        column.addSpacing(2 * STEP)
        column.addWidget(self.foot)
        column.addStretch(1)
        return scrolled(inner)

    def _right(self) -> QWidget:
        right = QWidget()
        below = QWidget()
        words = QVBoxLayout(below)
        words.setContentsMargins(0, 0, 2 * STEP, 0)
        words.addWidget(self.sources)
        words.addStretch(1)
        column = QVBoxLayout(right)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2 * STEP)
        column.addWidget(self.picture, 3)
        column.addWidget(self.none)
        column.addWidget(self.beside)
        column.addWidget(Hairline())
        column.addWidget(scrolled(below), 2)
        return right

    # Fill

    def look(self, defect: str) -> None:
        """Ask about a defect; "" for the one most often named."""
        self.verdict.setText("Reading the makes…")
        path = str(self._desk.journal.path)
        task = self._desk.work.start_file(WORK, path, why_of, self._about.called, defect)
        task.finished.connect(self.show_answer)
        task.failed.connect(self._on_failed)

    def show_answer(self, answer: WhyAnswer) -> None:
        """Show what was found."""
        self.answer = answer
        found = answer.why
        self.setWindowTitle(title_words(found))
        self.heading.setText(title_words(found))
        self.whose.setText(whose_words(found))
        self.named.setText(named_words(found))
        self.health.say("\n".join(text_of(one) for one in found.health))
        self.verdict.setText(why_verdict_words(found))
        self._empty()
        self._show_rows(found)
        self._show_found(found)
        self._show_plan()
        self.beside.show_beside(answer.beside, found.defect)
        self.picture.setVisible(bool(self.rows))
        self.none.setText(nothing_words(found))
        self.none.setVisible(not self.rows)
        self.sources.setText("")
        self.other.set_label("Another defect" if found.defect else "Ask about a defect", "choose")
        if self.rows:
            self._on_chosen(self.rows[0])
            self.rows[0].setFocus()

    def _empty(self) -> None:
        self.rows = []
        while self.found.count():
            item = self.found.takeAt(0)
            part = item.widget() if item is not None else None
            if part is not None:
                part.hide()
                part.deleteLater()

    def _show_rows(self, found: Why) -> None:
        first = "Likely in this make" if found.defect else "Unusual in this make"
        for title, likelihood in ((first, LIKELY), ("Less likely", DOUBTFUL)):
            for index, one in enumerate(found.of(likelihood)):
                if index == 0:
                    self.found.addWidget(WordsBlock(title, []))
                row = CauseRow(one, index if likelihood == LIKELY else 2)
                row.chosen.connect(self._on_chosen)
                row.gone.connect(self._on_gone)
                self.rows.append(row)
                self.found.addWidget(row)
        if self.rows:
            self.found.addWidget(StripLegend())

    def _show_found(self, found: Why) -> None:
        if not found.defect:
            return
        steps = [next_time_words(one) for one in found.next_time if one.do != NOTE]
        steps += [worded(WRITE_DOWN)] if note_words(found) else []
        for title, lines, marked in (
            ("Ruled out here", [" ".join(out_words(one) for one in found.of(OUT))], False),
            ("Not known", list(dict.fromkeys(map(open_words, found.of(OPEN)))), True),
            ("Next time", steps, True),
            (worded(COMPOSED), [composition_words(one) for one in found.composition], True),
            ("Where the books disagree", disagree_words(found), True),
        ):
            if any(lines):
                self.found.addWidget(WordsBlock(title, lines, marked=marked))

    def _show_plan(self) -> None:
        words = "" if self.answer is None else plan_button_words(self.answer.why)
        self.plan.setVisible(bool(words))
        if words:
            self.plan.set_label(words, "main")

    def _show_cause(self, one: SuspectedCause) -> None:
        seen = self.answer is not None and self.picture.show_cause(self.answer, one)
        self.picture.setVisible(seen)
        self.none.setVisible(not seen)
        self.none.setText("No scores of your own go with this yet.")
        self.sources.setText(causes_text(one))

    # Acts

    def plan_it(self) -> None:
        """Open the plan with the change marked, and with what to write down in its note."""
        answer = self.answer
        if answer is None or not self.plan.isVisible():
            return
        found = answer.why
        plan, stage = next_plan(answer.plan, found)
        note = note_words(found)
        if note and note not in plan.note:
            plan = replace(plan, note=f"{plan.note} {note}".strip())
        words = next_time_words(found.next_time[0])
        self.accept()
        self.planned.emit(PlanChange(answer.make_id, plan, stage, words))

    def ask_defect(self) -> None:
        """Offer the defects that were named, then every other word."""
        named = {} if self.answer is None else self.answer.why.named
        here = "" if self.answer is None else self.answer.why.defect
        samples = {word: worded("wording.samples", number=n) for word, n in named.items()}
        options = [(word, f"{word}   {many}") for word, many in samples.items()]
        options += [(word, word) for word in sorted(defects_with_causes()) if word not in named]
        ask_menu(self.other, "Defects", options, here, self.look)

    # Handlers

    def _on_chosen(self, row: CauseRow) -> None:
        for one in self.rows:
            one.choose(one is row)
        self._show_cause(row.suspect)

    def _on_gone(self, way: int) -> None:
        at = next((i for i, row in enumerate(self.rows) if row.is_chosen), 0)
        self.rows[min(max(at + way, 0), len(self.rows) - 1)].setFocus()

    def _on_failed(self, error: Exception) -> None:
        self.verdict.setText("")
        self.message.say(text_of(error), wrong=True)

    def _on_finished(self) -> None:
        self._desk.work.stop(WORK)
