"""A revealed session: what each code was, and each wheel's score beside its earlier months."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.desk.buttons import FAINT, Button
from journal.desk.form.frame import acts_row, arrange_list
from journal.desk.form.photo import SmallPhoto
from journal.desk.labels import Hairline, Label
from journal.desk.layouts import empty
from journal.desk.scrollbars import scrolled
from journal.desk.tables import Column, RowsView
from journal.desk.tastings.months import AgeScore, MonthDots
from journal.desk.tastings.scores_shown import ScoresShown
from journal.desk.theme import STEP, TITLE
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import RevealedRow
from journal.records.tastings import Tasting
from journal.reports.profile import Profile
from journal.wording import worded
from journal.wording.languages import translated

OVERALL = "overall"


@dataclass(frozen=True)
class RevealedSample:
    """A sample of a session as it is listed: what it was, and its means now and at the session
    before."""

    tasting: Tasting
    sample: RevealedRow
    now: float | None
    before: float | None


class RevealedPage(QWidget):
    """The list; `selected` carries the selected Shown, `back` asks for all sessions."""

    selected = Signal(object)
    back = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.title = Label("", TITLE, bold=True, wrap=True)
        self.under = Label("", role="quiet", wrap=True)
        self.table = RowsView("What each code was", COLUMNS)
        self.table.picked.connect(self.selected)
        self.twice = Label("", role="quiet", wrap=True)
        self.twice.setContentsMargins(0, 0, 0, 2 * STEP)
        self.all = Button("All sessions", FAINT, "choose")
        self.all.clicked.connect(self.back)
        head, foot = (self.title, self.under), (self.twice, acts_row(self.all))
        arrange_list(self, head, self.table, foot, gap=2 * STEP)
        self.setFocusProxy(self.table)

    def show_session(
        self, day: str, under: str, rows: Sequence[RevealedSample], twice: str
    ) -> None:
        """Show a session, the best sample first; `twice` says what doubles got."""
        self.twice.setText(twice)
        self.twice.setVisible(bool(twice))
        self.title.setText(worded("desk.session-of", day=day))
        self.under.setText(under)
        self.table.show_rows(rows)
        if rows:
            self.table.select(0)
            self.selected.emit(rows[0])


class BesideRevealed(QWidget):
    """Above all wheels' overall beside their earlier months; below the one that is chosen."""

    def __init__(self, photo: Callable[[str], Path | None]) -> None:
        super().__init__()
        self._photo = photo
        self.all = MonthDots(own_ages=True)
        self.all.setAccessibleName(translated("Overall score of each wheel by month"))
        self.none = Label(
            "Nobody gave an overall score, so there is nothing to compare with earlier months.",
            role="quiet", wrap=True,
        )  # fmt: skip
        self.one = ScoresShown()
        self.words = QVBoxLayout()
        self.words.setSpacing(STEP)
        holder = QWidget()
        holder.setLayout(self.words)
        self.words.setContentsMargins(0, 0, 0, 0)
        inner = QWidget()
        column = QVBoxLayout(inner)
        column.setContentsMargins(8 * STEP, 9 * STEP, 8 * STEP, 4 * STEP)
        column.setSpacing(3 * STEP)
        column.addWidget(Label("Overall score, with earlier months", role="quiet"))
        column.addWidget(self.all, 3)
        column.addWidget(self.none)
        column.addWidget(Hairline())
        column.addWidget(self.one, 3)
        column.addWidget(holder, 2)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(scrolled(inner))

    def show_all(self, bars: Sequence[AgeScore]) -> None:
        """Show the overall bars, named by what each is."""
        self.all.show_scores(bars)
        self.all.setVisible(bool(bars))
        self.none.setVisible(not bars)

    def show_one(
        self,
        sample: RevealedRow,
        bars: Sequence[AgeScore],
        profile: Callable[[], Profile | None] | None,
        remarks: Sequence[tuple[str, ScoredSample]],
    ) -> None:
        """Show one sample: its attributes over the months, and all the `remarks` on that cheese
        (by whom, and at another session when)."""
        self.one.title.setText(worded("desk.all-scores-of", name=sample.name))
        self.one.show_scores(bars, profile)
        empty(self.words)
        for who, scored in remarks:
            self._say(who, scored)
        if not self.words.count():
            self.words.addWidget(Label("No defects or notes.", role="quiet"))
        self.words.addStretch(1)

    def _say(self, who: str, scored: ScoredSample) -> None:
        parts = [scored.note] if scored.note else []
        parts += [t if s == "definite" else f"{s} {t}" for _, t, s in scored.defects]
        if not parts and not scored.photo:
            return
        line = QWidget()
        row = QHBoxLayout(line)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(3 * STEP)
        name = Label(who.replace(", ", "\n"), role="quiet", wrap=True)
        name.setFixedWidth(25 * STEP)
        row.addWidget(name, 0, Qt.AlignmentFlag.AlignTop)
        if scored.photo:
            photo = SmallPhoto(30 * STEP, 22 * STEP)
            photo.show_file(self._photo(scored.photo))
            row.addWidget(photo, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(Label("; ".join(parts), wrap=True), 1)
        self.words.addWidget(line)


def mean_of(sample: RevealedRow, attribute: str) -> float | None:
    """The plain mean of what was given a sample, None without a score."""
    given = [
        scored.scores[attribute] for _, scored in sample.all_scored if attribute in scored.scores
    ]
    return sum(given) / len(given) if given else None


def _name(row: RevealedSample) -> str:
    return row.sample.name


def _codes(row: RevealedSample) -> str:
    return ", ".join(row.sample.codes)


def _now(row: RevealedSample) -> str:
    return "" if row.now is None else f"{row.now:.1f}"


def _before(row: RevealedSample) -> str:
    return "" if row.before is None else f"{row.before:.1f}"


def _range(row: RevealedSample) -> str:
    given = [c.scores[OVERALL] for _, c in row.sample.all_scored if OVERALL in c.scores]
    return f"{min(given):g} – {max(given):g}" if len(given) > 1 else ""


COLUMNS = (
    Column("what it was", _name, bold=True),
    Column("code", _codes, quiet=True, stretch=True),
    Column("overall", _now, right=True),
    Column("from – to", _range, right=True, quiet=True),
    Column("before", _before, right=True, quiet=True),
)
