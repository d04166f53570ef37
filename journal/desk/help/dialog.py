"""The help: a line to search it, the pages and words found, and the one that is read."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QEvent, QObject, Qt, QUrl
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QTextBrowser, QVBoxLayout, QWidget

from journal.desk.buttons import Button
from journal.desk.commands import Command, bind
from journal.desk.form.filter_line import FilterLine
from journal.desk.form.frame import FramedDialog
from journal.desk.help.text import page_html, words_html
from journal.desk.labels import Label
from journal.desk.layouts import in_column, in_row
from journal.desk.scrollbars import quieten
from journal.desk.spoken import announce
from journal.desk.theme import LEAD, STEP, colours_of, scaled
from journal.desk.wordlist import WordList, WordRow
from journal.wording import worded
from journal.wording.help import HelpHit, explained, glossary, help_pages, search_help
from journal.wording.languages import translated

_SIDE = 78 * STEP
_ROW = 8 * STEP
_ALL = "all words"
_SCROLL = (Qt.Key.Key_PageDown, Qt.Key.Key_PageUp)


class HelpDialog(FramedDialog):
    """Search at the top, what was found at the left, the page at the right. It stays beside the
    window; `commands_of` gives the commands of a place, whose keys its page lists."""

    help_topic = "begin"

    def __init__(
        self, commands_of: Callable[[str], Sequence[Command]], parent: QWidget | None
    ) -> None:
        super().__init__("Help", parent)
        self._commands_of = commands_of
        self._been: list[object] = []
        hint = "Type what you look for: rennet, backup, print"
        self._search = FilterLine("Search the help", hint, height=12 * STEP, size=LEAD)
        self.line = self._search.line
        self.found = WordList("Pages and words", _ROW)
        self.found.setMinimumWidth(scaled(_SIDE))
        self.found.setMaximumWidth(scaled(_SIDE))
        self.none = Label("", role="quiet", wrap=True)
        self.none.hide()
        self.text = QTextBrowser()
        self.text.setOpenLinks(False)
        self.text.setFrameShape(QFrame.Shape.NoFrame)
        self.text.viewport().setAutoFillBackground(False)  # words on paper: nothing is typed here
        self.text.document().setDocumentMargin(2 * STEP)
        self.text.setAccessibleName(translated("Help text"))
        quieten(self.text)
        self.back, close = Button("Back", key="back"), Button("Close", key="Esc")
        bind("back", self, self.go_back)
        self.back.clicked.connect(self.go_back)
        close.clicked.connect(self.close)
        self.arrange(self._body(), acts=(self.back, close))
        self.resize(scaled(240 * STEP), scaled(170 * STEP))
        self.line.textChanged.connect(self._on_text)
        self.line.installEventFilter(self)
        self._search.left.connect(self.close)
        self.found.taken.connect(self._read)
        self.text.anchorClicked.connect(self._on_link)
        self._on_text("")

    def _body(self) -> QVBoxLayout:
        side = in_column(self.none, (self.found, 1))
        row = in_row(side, (self.text, 1), gap=6 * STEP)
        return in_column(self._search, (row, 1))

    def show_page(self, key: str, part: str = "") -> None:
        """Read the page of that name, from the part of that title on."""
        self.line.clear()
        at = next((at for at, page in enumerate(help_pages()) if page.key == key), None)
        self.found.select(len(help_pages()) if at is None else at)
        if at is None:
            self._read(_ALL)
            return
        page = help_pages()[at]
        titles = [one.title for one in page.parts]
        self._read(HelpHit(page, part=titles.index(part) if part in titles else -1))

    def show_word(self, term: str) -> None:
        """Read what a word means."""
        word = explained(term)
        if word is not None:
            self._read(HelpHit(word=word))

    def go_back(self) -> None:
        """Read what was read before."""
        if len(self._been) > 1:
            self._been.pop()
            self._read(self._been.pop())

    def _read(self, what: object) -> None:
        c = colours_of(self)
        hit = what if isinstance(what, HelpHit) else None
        if hit is not None and hit.page is not None:
            self.text.setHtml(page_html(hit.page, self._commands_of(hit.page.key), c))
            title = hit.page.title
        else:
            words = glossary() if hit is None or hit.word is None else (hit.word,)
            self.text.setHtml(words_html(words, c))
            title = words[0].term if len(words) == 1 else worded("desk.every-word")
        self.text.setAccessibleDescription(title)
        self.setWindowTitle(worded("desk.help-page", title=title))
        if hit is not None and hit.part > 0:
            self.text.scrollToAnchor(str(hit.part))
        self._been.append(what)
        self.back.setEnabled(len(self._been) > 1)

    def _on_text(self, text: str) -> None:
        hits = search_help(text)
        rows = [WordRow(*_row_of(hit), hit) for hit in hits]
        if not text.strip():
            words = worded("wording.many-word", number=len(glossary()))
            rows.append(WordRow(worded("desk.every-word"), words, _ALL))
        self.found.show_lines(rows)
        sentence = "" if hits else worded("desk.help-nothing", typed=text.strip())
        self.none.say_if_any(sentence)
        announce(self.line, sentence)
        if text.strip() and hits:
            self._been = self._been[:1]
            self._read(hits[0])

    def _on_link(self, url: QUrl) -> None:
        if url.scheme() == "word":
            self.show_word(url.path())

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if not isinstance(event, QKeyEvent) or event.type() != QEvent.Type.KeyPress:
            return False
        if self.found.on_arrow(event):
            if self.found.meant() is not None:
                self._read(self.found.meant())
            return True
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.text.setFocus()
            return True
        if event.key() in _SCROLL:
            bar = self.text.verticalScrollBar()
            down = event.key() == Qt.Key.Key_PageDown
            bar.setValue(bar.value() + (bar.pageStep() if down else -bar.pageStep()))
            return True
        return False


def _row_of(hit: HelpHit) -> tuple[str, str]:
    """The words of a line, and what stands beside them."""
    if hit.word is not None:
        return hit.word.term, hit.word.meaning
    assert hit.page is not None
    if hit.part < 0:
        return hit.page.title, ""
    return hit.page.parts[hit.part].title, hit.page.title
