"""After the cloth is lifted: each sample with what it got, beside what it got before."""

from __future__ import annotations

from PySide6.QtCore import QObject

from journal.desk.dates import age_days, day_words
from journal.desk.place import Place
from journal.desk.tastings.blind.lifted import OVERALL, BesideLifted, Lifted, Shown, mean_of
from journal.desk.tastings.months import Bar, bars_of
from journal.keeping.blind import Uncovered
from journal.records.instants import clock
from journal.records.kinds import ATTRIBUTES
from journal.records.tastings import Tasting


class Uncovering(QObject):
    """Reads a lifted sitting and shows it on its two pages."""

    def __init__(self, place: Place, page: Lifted, beside: BesideLifted) -> None:
        super().__init__(place)
        self.place, self.page, self.beside = place, page, beside
        self.tasting: Tasting | None = None
        page.stood.connect(self._on_stood)

    def show_sitting(self, tasting: Tasting) -> None:
        """Show this sitting."""
        self.tasting = tasting
        self.refresh()

    def refresh(self) -> None:
        """Show what the journal says of it now."""
        if self.tasting is None:
            return
        samples = self.place.journal.blind.uncovered(self.tasting.id)
        rows = [Shown(s, mean_of(s, OVERALL), self._before(s)) for s in samples]
        rows.sort(key=_best_first)
        people = {who for s in samples for who, _ in s.cards}
        day = day_words(self.tasting.at_ms, self.tasting.zone)
        at = clock(self.tasting.lifted_ms, self.tasting.zone)
        lifted = day_words(self.tasting.lifted_ms, self.tasting.zone)
        when = f"at {at}" if lifted == day else f"on {lifted}"
        under = (
            f"{len(samples)} samples, {len(people)} "
            f"{'assessor' if len(people) == 1 else 'assessors'}; the cloth was lifted {when}. "
            "Means are plain; Findings allows for who scores high or low."
        )
        bars = [bar for row in rows for bar in self._overall(row.sample)]
        self.beside.show_all(bars)
        self.page.show_sitting(day, under, rows)

    def _overall(self, sample: Uncovered) -> list[Bar]:
        """A sample's overall over its months, under its name; both cups of a double together."""
        return [
            Bar(sample.name, bar.days, bar.given)
            for bar in self._bars(sample)
            if bar.attribute == OVERALL
        ]

    def _bars(self, sample: Uncovered) -> list[Bar]:
        """Every bar of a sample: a wheel's whole life, or what a cheese from elsewhere got."""
        journal = self.place.journal
        if sample.wheel_id is not None:
            given = journal.sittings.of_wheel(sample.wheel_id)
            return bars_of(given, sample.started_ms or 0)
        names = {name for _, card in sample.cards for name in card.scores}
        ordered = [n for n in ATTRIBUTES if n in names] + sorted(names - set(ATTRIBUTES))
        return [
            Bar(n, -1.0, tuple((w, c.scores[n]) for w, c in sample.cards if n in c.scores))
            for n in ordered
        ]

    def _before(self, sample: Uncovered) -> float | None:
        """A wheel's plain mean at the last sitting before this one."""
        if sample.wheel_id is None:
            return None
        age = age_days(sample.started_ms or 0, self.tasting.at_ms)
        earlier = [b for b in self._overall(sample) if b.days < age - 1e-9]
        return earlier[-1].mean if earlier else None

    def _on_stood(self, sample: Uncovered) -> None:
        self.beside.show_one(sample, self._bars(sample))


def _best_first(row: Shown) -> tuple[bool, float, str]:
    return row.now is None, -(row.now or 0.0), row.sample.name
