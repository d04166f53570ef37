"""The study of the current score: run in the background, stopped, shown, or refused."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QObject, QTimer, Signal

from journal.background import State
from journal.desk.findings.offered import most_given, offered
from journal.desk.place import Desk
from journal.findings import FindingError
from journal.findings.answer import StudyAnswer
from journal.keeping import Change, Journal, KeepingError
from journal.reports.study import look_at, ticked_in
from journal.wording import text_of, worded

WORK = "findings"
# A change in these makes every answer old; in the others only when a make of the answer changed.
_ALWAYS = frozenset(
    ("score", "defect_mark", "sample", "tasting", "assessor", "wheel", "make", "entered",
     "air_reading", "plan")
)  # fmt: skip
_WITHIN = frozenset(("reading", "stage_run", "addition"))


class StudyController(QObject):
    """Which score is asked about, the answers there are, and the work for the next one.

    `began` comes before a study is calculated, `progressed` with its share and what is being done;
    `answered` carries its Answer, `refused` why there is none.
    """

    began = Signal()
    progressed = Signal(float, str)
    answered = Signal(object)
    refused = Signal(str)

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._journal, self._work = desk.journal, desk.work
        self.score = "overall"
        self._chosen = False  # by the person; until then the score that was given most
        self.answers: dict[str, StudyAnswer] = {}
        self._offered: dict[str, int] | None = None  # None: not counted yet
        self.working = False
        self._soon = QTimer(self)  # the place is painted first
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._start)
        self._ticked = ticked_in(desk.journal)  # the further variables that answers look at

    @property
    def answer(self) -> StudyAnswer | None:
        """The answer about the current score, where there is one."""
        return self.answers.get(self.score)

    def any_scored(self) -> bool:
        """There is something to study."""
        return self._journal.sessions.any_scored()

    def offered(self) -> dict[str, int]:
        """The scores and the defects that can be asked about, with how many there are of each."""
        if self._offered is None:
            self._offered = offered(self._journal)
        return self._offered

    @property
    def subject(self) -> str:
        """What is studied, in a heading: the score, once it is known which was given most."""
        return self.score if self._offered or self._chosen else worded("desk.the-scores")

    def choose(self, score: str) -> None:
        """Ask about another score, or a defect."""
        self.stop()
        self._chosen = True
        self.score = score

    def begin(self) -> None:
        """Begin to study the current score; until one is chosen, that which was given most."""
        self.working = True
        self.began.emit()
        self._soon.start()

    def _start(self) -> None:
        path = str(self._journal.path)
        task = self._work.start_file(WORK, path, _study, self.score, self._chosen, self._offered)
        task.progressed.connect(self.progressed)
        task.finished.connect(self._on_finished)
        task.failed.connect(self._on_failed)

    def again(self) -> None:
        """Forget every answer and study anew."""
        self.answers.clear()
        self._ticked = ticked_in(self._journal)
        self.begin()

    def stop(self) -> None:
        """End the study under way."""
        if self.working:
            self.working = False
            self._soon.stop()
            self._work.stop(WORK)

    def forget_if_ticked(self) -> bool:
        """Forget every answer where other further variables were ticked since, here or in another
        window; True when so. A study under way is stopped."""
        now = ticked_in(self._journal)
        if now == self._ticked:
            return False
        self._ticked = now
        self.answers.clear()
        self.stop()
        return True

    def forget(self, change: Change) -> bool:
        """Forget the answers that a change makes old; True when it is every one."""
        touched = bool(change.kinds & _ALWAYS)
        if touched:
            self.answers.clear()
            self._offered = None
            if self.working:
                self.begin()
        elif change.kinds & _WITHIN:
            for score, answer in list(self.answers.items()):
                inside = {known.make_id for known in answer.makes.values()}
                if not change.makes or change.makes & inside:
                    del self.answers[score]
        return touched

    def _on_finished(self, found: _Studied) -> None:
        self.working = False
        self.score, self._offered = found.score, found.offered
        if found.answer is None:
            self.refused.emit(found.why_not)
        else:
            self.answers[self.score] = found.answer
            self.answered.emit(found.answer)

    def _on_failed(self, error: Exception) -> None:
        self.working = False
        if not isinstance(error, KeepingError):
            raise error
        self.refused.emit(text_of(error))


@dataclass(frozen=True)
class _Studied:
    """What was asked about, of what; the answer, or why there is none."""

    score: str
    offered: dict[str, int]
    answer: StudyAnswer | None
    why_not: str = ""


def _study(
    journal: Journal, score: str, chosen: bool, known: dict[str, int] | None, state: State
) -> _Studied:
    known = offered(journal) if known is None else known
    score = most_given(known, score, chosen=chosen)
    try:
        return _Studied(score, known, look_at(journal, score, state))
    except FindingError as error:
        return _Studied(score, known, None, text_of(error))
