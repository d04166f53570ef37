"""Eight moments of one day at the vat, for the pictures: a make of the sample lived once more."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QImage, QLinearGradient, QPainter

from journal.keeping import Journal
from journal.records import id_of
from journal.records.instants import DAY_MS, MINUTE_MS
from journal.records.makes import Make, Note
from journal.records.timers import FLOCCULATION, Timer
from journal.records.whole import WholeMake

TYPED_EVERY = 6  # one reading of the logger in so many is typed
_LATER_DAYS = 21
_COLD_C = 2.6  # how far the fire lags in the cook
_FLECKS_MIN = 13.5


@dataclass(frozen=True)
class PictureMoment:
    """A moment of the day: its name, the instant, and whether it is also seen across the room."""

    name: str
    at_ms: int
    across: bool = False


class DayAgain:
    """Lives the newest finished make of the sample's plan again, three weeks later, with what a
    day brings: a soft break, a late fire, a second make. `moments` yields when there is something
    to see; the journal is then as it was at that instant."""

    def __init__(self, journal: Journal, folder: Path) -> None:
        self._journal = journal
        self._folder = folder
        self._story = _story(journal)
        self._start = self._story.make.started_ms + _LATER_DAYS * DAY_MS
        self._fed_min = 0.0
        self._cold_from = self._cold_to = 0.0
        self.make = self._begin()
        self._make_id = id_of(self.make)

    def moments(self) -> Iterator[PictureMoment]:
        """The eight, one after the other."""
        ends = self._ends()
        yield self._at("1-warm", 20)
        self._end(ends[0])
        yield self._at("2-ripen", ends[1] - 9)
        yield self._setting(ends)
        yield self._soft_break(ends)
        yield from self._cooking(ends)
        yield self._cheddaring(ends)
        for place in range(8, 13):
            self._end(ends[place])
        self._put_away(ends[12])
        yield self._at("8-night", ends[12] + 5.2 * 60)

    # The day

    def _setting(self, ends: list[float]) -> PictureMoment:
        self._end(ends[1])
        self._timer(FLOCCULATION, ends[1] + 1, None)
        return self._at("3-set", ends[1] + 9.4)

    def _soft_break(self, ends: list[float]) -> PictureMoment:
        self._feed(ends[1] + 1 + _FLECKS_MIN)
        self._journal.day.first_flecks(self._make_id, self._ms(ends[1] + 1 + _FLECKS_MIN))
        self._note(ends[1] + 20, "dome of the thermometer rinsed")
        self._feed(ends[1] + 40)
        self._journal.day.lengthen(self._make_id, 10, "the break is soft")
        return self._at("4-soft-break", ends[1] + 43.3)

    def _cooking(self, ends: list[float]) -> Iterator[PictureMoment]:
        shift = ends[1] + 51.5 - ends[2]
        for place in (2, 3, 4):
            self._end(ends[place] + shift)
        begin = ends[4] + shift
        self._cold_from, self._cold_to = begin, begin + 75
        yield self._at("5-cook", begin + 27.4, across=True)
        minutes = self._story.plan.stages[5].minutes
        self._journal.day.lengthen(self._make_id, 4, "1.7 °C behind the plan")
        yield self._at("6-due", begin + minutes + 4.4, across=True)
        self._end(begin + minutes + 6)
        self._shift = begin + minutes + 6 - ends[5]

    def _cheddaring(self, ends: list[float]) -> PictureMoment:
        for place in (6, 7):
            self._end(ends[place] + self._shift)
        begin = ends[7] + self._shift
        plan = self._story.plan
        every = plan.stages[8].parts_min[0]
        for turn in (1, 2):
            self._journal.day.turn(self._make_id, self._ms(begin + turn * every + 1))
        self._photo(begin + 12, "slabs turned, still springy")
        other = self._journal.plans.by_name("Hollow Lane washed")
        self._other = self._journal.makes.begin(other, self.make.milk, self._ms(begin + 21))
        self._timer("kettle for the tools", begin + 33, 15)
        return self._at("7-cheddar", begin + 39.2)

    def _put_away(self, minutes: float) -> None:
        """The second make is in its mould too, and the kettle off."""
        self._journal.makes.finish(id_of(self._other), [], self._ms(minutes))
        for timer in self._journal.timers.where(make_id=self._make_id):
            if timer.running:
                self._journal.day.stop_timer(id_of(timer), self._ms(minutes))

    # What it is made of

    def _begin(self) -> Make:
        story = self._story
        for test in _past_tests(self._journal, story):
            self._journal.timers.save(test)
        for make in self._journal.makes.running():
            self._journal.makes.finish(id_of(make), [], make.started_ms + DAY_MS)
        milk = replace(story.make.milk, litres=round(story.make.milk.litres))
        return self._journal.makes.begin(story.plan, milk, self._start)

    def _ends(self) -> list[float]:
        zero = self._story.make.started_ms
        ended = [run.ended_ms for run in self._story.runs if run.ended_ms is not None]
        return [(at_ms - zero) / MINUTE_MS for at_ms in ended]

    def _ms(self, minutes: float) -> int:
        return self._start + round(minutes * MINUTE_MS)

    def _at(self, name: str, minutes: float, *, across: bool = False) -> PictureMoment:
        self._feed(minutes)
        return PictureMoment(name, self._ms(minutes), across)

    def _end(self, minutes: float) -> None:
        self._feed(minutes)
        self._journal.makes.end_stage(self._make_id, self._ms(minutes))

    def _timer(self, name: str, minutes: float, length: float | None) -> None:
        self._journal.day.start_timer(self._make_id, name, self._ms(minutes), length)

    def _note(self, minutes: float, text: str) -> None:
        self._journal.notes.save(Note(self._ms(minutes), text, self._make_id))

    def _photo(self, minutes: float, text: str) -> None:
        path = self._folder / "slabs.png"
        slabs().save(str(path))
        self._journal.photos.save(Note(self._ms(minutes), text, self._make_id), path)

    def _feed(self, to_min: float) -> None:
        """Type what was read until then; the milk a little colder while the fire lags."""
        for kind, trace in self._story.traces.items():
            minutes = trace.minutes_from(self._story.make.started_ms)
            some = np.flatnonzero((minutes > self._fed_min) & (minutes <= to_min))
            if kind == "milk-temp":
                some = some[some % TYPED_EVERY == 0]
            for i in some if kind in ("milk-temp", "curd-ph", "whey-ph", "milk-ph") else ():
                value = float(trace.value[i])
                if kind == "milk-temp" and self._cold_from < minutes[i] < self._cold_to:
                    since = minutes[i] - self._cold_from
                    value -= _COLD_C * min(1.0, since / 15, max(0.0, (75 - since) / 30))
                digits = 1 if kind == "milk-temp" else 2
                at_ms = self._ms(float(minutes[i]))
                self._journal.readings.log(self._make_id, kind, round(value, digits), at_ms)
        self._fed_min = max(self._fed_min, to_min)


def slabs() -> QImage:
    """A drawn photo: slabs of curd on a board."""
    image = QImage(960, 640, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    wood = QLinearGradient(0, 0, 960, 640)
    wood.setColorAt(0, QColor("#8A6B47"))
    wood.setColorAt(1, QColor("#6E5436"))
    painter.fillRect(image.rect(), wood)
    painter.setPen(Qt.PenStyle.NoPen)
    for row in range(2):
        for place in range(3):
            painter.setBrush(QColor("#EADFB8") if (row + place) % 2 else QColor("#F2E9C8"))
            box = QRectF(70 + place * 280 + 30 * row, 90 + row * 250, 250, 190)
            painter.drawRoundedRect(box, 26, 26)
    painter.end()
    return image


def _story(journal: Journal) -> WholeMake:
    """The newest finished make of the plan the newest make follows."""
    rows = journal.makes.rows()
    plan = rows[0].plan
    done = [r for r in rows if r.plan == plan and r.finished_ms is not None and not r.failed]
    return journal.whole(done[0].id)


def _past_tests(journal: Journal, story: WholeMake) -> list[Timer]:
    """The flocculation the sets of the last makes of the plan went by."""
    rows = [r for r in journal.makes.rows() if r.plan == story.plan.name and r.finished_ms][:5]
    tests = []
    for row in rows:
        run = journal.whole(row.id).run_of("set")
        if run is not None and run.began_ms is not None and run.ended_ms is not None:
            took = (run.ended_ms - run.began_ms) / (story.plan.floc_multiplier or 3.0)
            flecks = run.began_ms + round(took)
            tests.append(Timer(row.id, FLOCCULATION, run.began_ms, None, flecks))
    return tests
