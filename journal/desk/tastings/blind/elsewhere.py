"""Assessors who are elsewhere: their pages written out, what they send pasted or dropped."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import QMimeData, QObject
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from journal.desk import dialogs
from journal.desk.messages import MessageBar
from journal.exchange import ExchangeError
from journal.keeping import Journal, KeepingError
from journal.keeping.elsewhere import SentAnswer
from journal.records import RecordError, id_of
from journal.records.tastings import Tasting
from journal.wording import text_of, worded
from journal.wording.dates import short_day

_SAYS = "elsewhere"
_NOTHING = (
    "Nothing that was copied is an answer. Copy the message that begins with VATSIDE1, or drop the "
    "small file here."
)


class PagesElsewhere(QObject):
    """Writes the pages of a session, and takes answers; a correction is asked about first."""

    def __init__(self, journal: Journal, messages: MessageBar, parent: QObject) -> None:
        super().__init__(parent)
        self._journal = journal
        self._messages = messages
        self._asked = ""  # the answer that was asked about, by its check digits

    def write(self, over: QWidget, tasting: Tasting) -> None:
        """Ask over a page for a folder, and write a page for each assessor into it."""
        from journal.exchange.session_pages import write_pages

        title = "A folder for the pages, one for each assessor"
        folder = dialogs.ask_folder(over, title)
        if not folder:
            return
        try:
            found = write_pages(self._journal, tasting, Path(folder))
        except ExchangeError as error:
            self._say(text_of(error), wrong=True)
            return
        self._say(worded("desk.pages-written", pages=len(found), folder=folder))

    def paste(self) -> None:
        """Take what was copied last."""
        data = QGuiApplication.clipboard().mimeData()
        if not self.holds(data):
            self._say(_NOTHING, wrong=True)
            return
        self.take(data)

    @staticmethod
    def holds(data: QMimeData | None) -> bool:
        """Whether text or a file is copied or dragged."""
        return data is not None and (bool(_files(data)) or data.hasText())

    def take(self, data: QMimeData) -> None:
        """Take the answer in what is pasted or dropped, each file's own."""
        from journal.exchange.session_pages import read_sent

        files = _files(data)
        texts = [partial(read_sent, path) for path in files] if files else [data.text]
        for text in texts:
            try:
                self._take(self._journal.elsewhere.find(text()))
            except (ExchangeError, KeepingError, RecordError) as error:
                self._say(text_of(error), wrong=True)
                return

    def _take(self, sent: SentAnswer) -> None:
        asked, self._asked = self._asked, sent.answer.check
        if sent.kept and not sent.taken and asked != sent.answer.check:
            self._say(
                worded("desk.answer-differs", assessor=sent.assessor, kept=sent.kept,
                       later=bool(sent.older)), wrong=True,
            )  # fmt: skip
            return
        self._asked = ""
        if not self._journal.elsewhere.take(sent, replacing=True, initiator=self):
            self._say(worded("desk.answer-taken-before", assessor=sent.assessor))
            return
        servings = self._journal.sessions.servings(id_of(sent.tasting))
        left = sum(not one.given for one in servings)
        rest = worded("desk.samples-still-left" if left else "desk.all-have-finished", samples=left)
        day = short_day(sent.tasting.at_ms, sent.tasting.zone)
        self._say(worded(
            "desk.answer-taken", assessor=sent.assessor, day=day, samples=len(sent.all_scored),
            rest=rest,
        ))  # fmt: skip

    def _say(self, sentence: str, *, wrong: bool = False) -> None:
        self._messages.show_message(_SAYS, sentence, attention=wrong)


def _files(data: QMimeData) -> list[Path]:
    return [Path(url.toLocalFile()) for url in data.urls() if url.isLocalFile()]
