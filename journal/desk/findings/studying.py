"""The study of the score at hand: begun beside the screen, stopped, told, or refused."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from journal.desk.findings.answer import Answer, look_at
from journal.desk.findings.offered import offered
from journal.findings import FindingError
from journal.keeping import KeepingError

WORK = "findings"


class Studying:
    """Mixed into the place of findings before Place: which page is shown, and the work for it."""

    def _show(self) -> None:
        """Show the answer there is; begin to make one where there is none."""
        scores, known = dict(self.journal.sittings.attributes()), offered(self.journal)
        if not scores:
            self._end()
            self._turn_to(self.empty)
            return
        most = max(scores, key=lambda name: scores[name])
        if self.score not in known or (not self._chosen and 2 * known[self.score] < scores[most]):
            self.score = most
        words = f"the {self.score} score" if self.score == "overall" else self.score
        self.told.score.set_words(words, "Ctrl J")
        answer = self.answers.get(self.score)
        if answer is not None:
            self._turn_to(self.told)
        elif not self._working:
            self._begin()

    def _begin(self) -> None:
        self._working = True
        self.busy.heading.setText(f"Looking at what goes with {self.score}")
        self.busy.show_progress(0.0, "Reading the makes")
        self._turn_to(self.busy)
        task = self.desk.work.start_file(WORK, str(self.journal.path), look_at, self.score)
        task.progressed.connect(self.busy.show_progress)
        task.finished.connect(self._on_finished)
        task.failed.connect(self._on_failed)

    def _end(self) -> None:
        if self._working:
            self._working = False
            self.desk.work.stop(WORK)

    def _on_finished(self, answer: Answer) -> None:
        self._working = False
        picked, wheel = self._picked, self._wheel
        self.answers[self.score] = answer
        self._row = _row_of(answer, wheel)
        self.beside.card.show_next(answer.next_make)
        self.told.show_answer(answer)
        self.told.table.stand_on_variable(picked)
        self._turn_to(self.told)
        if not self.in_series:
            self.told.table.setFocus()

    def _on_failed(self, error: Exception) -> None:
        self._working = False
        if not isinstance(error, FindingError | KeepingError):
            raise error
        self._refuse("Nothing can be told yet.", str(error))

    def _refuse(self, heading: str, sentence: str) -> None:
        self.refused.heading.setText(heading)
        self.refused.sentence.setText(sentence)
        self._turn_to(self.refused)
        if not self.in_series:
            self.again.setFocus()

    def _turn_to(self, page: QWidget) -> None:
        """Show a page of the findings; while a series is shown it waits under it."""
        self.under = page
        if page is not self.told:
            self.line.show_days("Wheels", (), self.journal.zone)
        if not self.in_series:
            self.pages.setCurrentWidget(page)
            self._show_right(self.beside if page is self.told else None)
        elif self.has_series() and self.laid is not None:
            self._read_series()

    def _show_right(self, page: QWidget | None) -> None:
        if page is not None:
            self.rights.setCurrentWidget(page)
        self.rights.setVisible(page is not None)


def _row_of(answer: Answer, wheel: str) -> int:
    """The row of a wheel at its oldest age; of the newest make where there is none such."""
    if wheel in answer.table.wheel:
        return len(answer.table.wheel) - 1 - answer.table.wheel[::-1].index(wheel)
    started = [answer.makes[make].started_ms for make in answer.table.make]
    newest = max(started)
    return max(row for row, at in enumerate(started) if at == newest)
