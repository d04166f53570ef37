"""After it is revealed: each sample with what it got, beside what it got before."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QObject

from journal.desk.tastings.blind.revealed import (
    OVERALL,
    BesideRevealed,
    RevealedPage,
    RevealedSample,
    mean_of,
)
from journal.desk.tastings.months import AgeScore, age_scores
from journal.keeping import Journal
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import RevealedRow
from journal.records import id_of
from journal.records.dates import age_days
from journal.records.kinds import ATTRIBUTES
from journal.records.tastings import Tasting
from journal.reports.profile import profile_of
from journal.wording import worded
from journal.wording.dates import clock, day_words, short_day
from journal.wording.panel import twice_words


class Revealing(QObject):
    """Reads a revealed session and shows it on its two pages."""

    def __init__(
        self, journal: Journal, page: RevealedPage, beside: BesideRevealed, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._journal, self._page, self._beside = journal, page, beside
        page.selected.connect(self._on_selected)

    def show_session(self, tasting: Tasting) -> None:
        """Show what the journal says of this session now; nothing while it is hidden."""
        if tasting.lifted_ms is None:
            return
        samples = self._journal.sessions.revealed_rows(id_of(tasting))
        rows = [
            RevealedSample(tasting, s, mean_of(s, OVERALL), self._before(tasting, s))
            for s in samples
        ]
        rows.sort(key=_best_first)
        people = {who for s in samples for who, _ in s.all_scored}
        day = day_words(tasting.at_ms, tasting.zone)
        at = clock(tasting.lifted_ms, tasting.zone)
        revealed = day_words(tasting.lifted_ms, tasting.zone)
        when = worded("desk.revealed-at", at=at)
        if revealed != day:
            when = worded("desk.revealed-on", day=revealed)
        under = worded("desk.session-revealed", samples=len(samples), people=len(people), when=when)
        self._beside.show_all(self._beside_each_other(rows))
        self._page.show_session(day, under, rows, twice_words(samples))

    def _beside_each_other(self, rows: list[RevealedSample]) -> list[AgeScore]:
        """The overall bars of every cheese, each once however often it was served."""
        out: dict[str, list[AgeScore]] = {}
        for row in rows:
            name, own = row.sample.name, self._overall(row.sample)
            if row.sample.wheel_id is not None or name not in out:
                out[name] = own
            elif own:
                both = tuple(given for bar in (*out[name], *own) for given in bar.given)
                out[name] = [AgeScore(name, -1.0, both)]
        return [bar for bars in out.values() for bar in bars]

    def _overall(self, sample: RevealedRow) -> list[AgeScore]:
        """A sample's overall over its months, under its name; both cups of a double together."""
        return [
            AgeScore(sample.name, bar.days, bar.given)
            for bar in self._bars(sample)
            if bar.attribute == OVERALL
        ]

    def _bars(self, sample: RevealedRow) -> list[AgeScore]:
        """Every bar of a sample: a wheel's whole life, or what a cheese from elsewhere got."""
        if sample.wheel_id is not None:
            given = self._journal.sessions.of_wheel(sample.wheel_id)
            return age_scores(given, sample.started_ms or 0)
        names = {name for _, scored in sample.all_scored for name in scored.scores}
        ordered = [n for n in ATTRIBUTES if n in names] + sorted(names - set(ATTRIBUTES))
        return [
            AgeScore(
                n, -1.0, tuple((w, c.scores[n]) for w, c in sample.all_scored if n in c.scores)
            )
            for n in ordered
        ]

    def _before(self, tasting: Tasting, sample: RevealedRow) -> float | None:
        """A wheel's plain mean at the last session before this one."""
        if sample.wheel_id is None:
            return None
        age = age_days(sample.started_ms or 0, tasting.at_ms)
        earlier = [b for b in self._overall(sample) if b.days < age - 1e-9]
        return earlier[-1].mean if earlier else None

    def _on_selected(self, row: RevealedSample) -> None:
        all_scored = self._scored(row.tasting, row.sample)
        wheel, profile = row.sample.wheel_id, None
        if wheel is not None:
            profile = partial(profile_of, self._journal, wheel, id_of(row.tasting))
        self._beside.show_one(row.sample, self._bars(row.sample), profile, all_scored)

    def _scored(self, tasting: Tasting, sample: RevealedRow) -> list[tuple[str, ScoredSample]]:
        """All that was said of a cheese: at this session of each of its cups, then of a wheel at
        every other."""
        tasting_id = id_of(tasting)
        cups = [
            s for s in self._journal.sessions.revealed_rows(tasting_id) if s.name == sample.name
        ]
        all_scored = [given for cup in cups for given in cup.all_scored]
        if sample.wheel_id is not None:
            others = self._journal.sessions.scored_samples_of(sample.wheel_id, tasting_id)
            all_scored += [(f"{who}, {short_day(at_ms, tasting.zone)}", scored)
                     for at_ms, who, scored in others]  # fmt: skip
        return all_scored


def _best_first(row: RevealedSample) -> tuple[bool, float, str]:
    return row.now is None, -(row.now or 0.0), row.sample.name
