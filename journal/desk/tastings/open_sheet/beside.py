"""The page beside the sheet: the wheel's scores over its months, what the scale means, and how
the session is going."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.desk.buttons import WordButton
from journal.desk.form.chips import ChipEntry
from journal.desk.form.page import LINE_STYLE
from journal.desk.form.readers import TextField
from journal.desk.form.spec import Field, FieldContext
from journal.desk.form.suggest import Suggestion
from journal.desk.labels import Hairline, Label, plain_tip
from journal.desk.tastings.months import AgeScore
from journal.desk.tastings.progress import ProgressTable
from journal.desk.tastings.scalebox import ScaleBox
from journal.desk.tastings.scores_shown import ScoresShown
from journal.desk.theme import SMALL, STEP
from journal.desk.why.command import why_label
from journal.keeping import Journal
from journal.reports.profile import Profile
from journal.wording import worded
from journal.wording.ages import age_words
from journal.wording.keys import key_of
from journal.wording.session_progress import ProgressRow


class Beside(QWidget):
    """Shows bars above, the scale, and the session below. `picked` carries (wheel id, assessor),
    `owned` an Entry: an attribute the
    sheet is to have a line for."""

    picked = Signal(object)
    owned = Signal(object)

    def __init__(self, journal: Journal, attributes: Callable[[str], list[Suggestion]]) -> None:
        super().__init__()
        self.scale = ScaleBox(journal)
        hint = "an attribute of your own"
        own = Field("own", "An attribute of your own", hint=hint, look=attributes)
        self._own = TextField(own, FieldContext(self, style=LINE_STYLE))
        self._own.setMaximumWidth(66 * STEP)
        self._own.picked.connect(self._on_owned)
        self.own = self._own.line
        self.own.setToolTip(plain_tip(key_of("own_attribute")))
        self.title = Label("", role="quiet")
        self.why = WordButton(why_label(), size=SMALL)
        self.why.setVisible(False)
        self.message = Label("", role="quiet", wrap=True)
        self.scores = ScoresShown(months_first=True)
        self.session = Label("", role="quiet", wrap=True)
        self.nobody = Label("", role="quiet", wrap=True)
        self.table = ProgressTable()
        self.table.box_picked.connect(self.picked)
        column = QVBoxLayout(self)
        column.setContentsMargins(8 * STEP, 6 * STEP, 8 * STEP, 4 * STEP)
        column.setSpacing(3 * STEP)
        head = QHBoxLayout()
        head.addWidget(self.title)
        head.addStretch(1)
        head.addWidget(self.why)
        column.addLayout(head)
        column.addWidget(self.message)
        column.addWidget(self.scores, 3)
        column.addWidget(Hairline())
        column.addLayout(self._under(), 2)

    def _scale(self) -> QWidget:
        """What the scale means, with a line for an attribute of one's own."""
        self.holder = QWidget()
        column = QVBoxLayout(self.holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2 * STEP)
        column.addWidget(self.scale)
        column.addWidget(self._own)
        column.addStretch(1)
        return self.holder

    def _under(self) -> QHBoxLayout:
        """The scale and the session beside each other."""
        session = QVBoxLayout()
        session.setSpacing(2 * STEP)
        session.addWidget(self.session)
        session.addWidget(self.nobody)
        session.addWidget(self.table, 100)
        session.addStretch(1)
        row = QHBoxLayout()
        row.setSpacing(8 * STEP)
        row.addWidget(self._scale(), 1)
        row.addLayout(session, 1)
        return row

    def show_wheel(
        self,
        code: str,
        bars: Sequence[AgeScore],
        profile: Callable[[], Profile | None] | None,
        *,
        hidden: bool,
    ) -> None:
        """Show what a wheel got; `profile` reads its profile, `hidden` says that this session's
        are held back."""
        self.title.setText(worded("desk.over-its-months", code=code) if code else "")
        self.scores.show_scores(bars, profile)
        self.why.setVisible(bool(code and bars))
        self.message.setText(_under_bars(bars, hidden))
        self.message.setVisible(bool(code) and (hidden or not bars))
        self.message.setAlignment(Qt.AlignmentFlag.AlignTop)

    def show_session(self, day: str, heads: Sequence[str], rows: Sequence[ProgressRow]) -> None:
        """Show how the session of a day is going."""
        self.session.setText(worded("desk.session-of", day=day))
        there = bool(rows)
        self.table.setVisible(there)
        self.nobody.setVisible(not there)
        self.nobody.setText("No scores on this day. Choose a wheel, and type who is tasting.")
        if there:
            self.table.show_rows(rows, heads)

    def _on_owned(self, entry: ChipEntry) -> None:
        self.own.clear()
        self.owned.emit(entry)


def _under_bars(bars: Sequence[AgeScore], hidden: bool) -> str:
    if hidden:
        return "Earlier scores appear after you save yours."
    if not bars:
        return (
            "Not tasted yet. Its scores will appear here, a bar for each age and a mark for "
            "each assessor."
        )
    return age_words(max(bar.days for bar in bars))
