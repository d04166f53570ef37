"""What the page of Today shows: things to do now and things to come, in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from journal.keeping import Journal
from journal.message import Instant
from journal.records.cultures import Generation, doubts
from journal.records.due import (
    Due,
    DueStage,
    GroupedDue,
    Shortage,
    WheelLife,
    cares_due,
    errands,
    shortages,
    step_of,
    tastings_due,
)
from journal.records.instants import MINUTE_MS, local
from journal.records.makes import Ingredient, Make, StageRun
from journal.records.stock import plain_name
from journal.reports.air import rooms_out
from journal.reports.readiness import sixty_days
from journal.reports.shelves import WEEK, CareDay
from journal.reports.wheel_air import WheelAirs
from journal.wording import text_of, worded
from journal.wording.ages import relative_day
from journal.wording.doses import amount_words
from journal.wording.stages import doing
from journal.wording.wheels import dues_title

VAT, WHEELS, TASTINGS, STOCK = "vat", "wheels", "tastings", "stock"
SERIES = "series"
_PLACES = {VAT: "vat", WHEELS: "room", TASTINGS: "tastings", STOCK: "plans", SERIES: "plans"}
_NAMED = 4  # so many wheels are named, the others counted
COMING_MOST = 16
_SERIES_MOST = 3
_DATES_AHEAD_DAYS = 90  # a date in stock is shown so long before


@dataclass(frozen=True)
class AgendaLine:
    """One thing: its group, what to do, more about it, when; where it is done, for which make.

    `first` marks the first of its group, `late` what should have been done before today.
    """

    group: str
    title: str
    detail: str = ""
    when: str = ""
    make_id: int | None = None
    late: bool = False
    first: bool = False

    @property
    def place(self) -> str:
        """The place of the window where it is done."""
        return _PLACES[self.group]


@dataclass(frozen=True)
class AgendaItem:
    """One thing to come; `series_id` names the series whose next make it is."""

    on: date
    when: str
    title: str
    group: str
    make_id: int | None = None
    series_id: int | None = None

    @property
    def place(self) -> str:
        """The place of the window where it is done."""
        return _PLACES[self.group]


@dataclass(frozen=True)
class Agenda:
    """All of it; `anything` is False in a journal that holds nothing yet. `week` has the coming
    seven days, today with what is to do now."""

    today: date
    now: tuple[AgendaLine, ...]
    coming: tuple[AgendaItem, ...]
    anything: bool
    week: tuple[CareDay, ...] = ()


def agenda_of(journal: Journal, now_ms: int) -> Agenda:
    """Read the journal and say what there is to do."""
    today = local(now_ms, journal.zone).date()
    lives = journal.care_tasks.lives()
    cares = [due for life in lives for due in cares_due(life, now_ms)]
    tastings = tastings_due(lives, now_ms)
    steps = [_step(journal, make) for make in journal.makes.running()]
    stock = journal.ingredients.all()
    mothers = _newest(journal.generations.where(gone_ms=None))
    short = shortages(stock, journal.care_tasks.last_used(), today, journal.zone)
    now = [
        *(_vat_item(step, now_ms) for step in steps),
        *_not_to_eat(journal, lives),
        *_rooms_out(journal, now_ms),
        *(_care_item(errand, today) for errand in errands(d for d in cares if d.on <= today)),
        *(_tasting_item(due, now_ms, today) for due in tastings if due.on <= today),
        *(_stock_item(one) for one in short),
        *(
            _culture_item(one, today, journal.zone)
            for one in _doubted(mothers, today, journal.zone)
        ),
    ]
    coming = [
        *_cares_to_come([d for d in cares if d.on > today], today),
        *(_tasting_to_come(d, today) for d in tastings if d.on > today),
        *_dates_to_come(stock, today, journal.zone),
        *_mothers_to_come(mothers, today, journal.zone),
        *_raw_to_come(journal, lives, now_ms, today),
    ]
    of_series = _makes_of_series(journal, today)
    ordered = (*sorted(coming, key=_by_day)[: COMING_MOST - len(of_series)], *of_series)
    return Agenda(
        today,
        tuple(_firsts(now)),
        ordered,
        bool(lives or steps or stock or mothers or of_series) or _has_makes(journal),
        _week([item.title for item in now], sorted(coming, key=_by_day), today),
    )


def _week(now: list[str], coming: list[AgendaItem], today: date) -> tuple[CareDay, ...]:
    days = [today + timedelta(days=number) for number in range(1, WEEK)]
    later = [CareDay(day, tuple(one.title for one in coming if one.on == day)) for day in days]
    return (CareDay(today, tuple(now)), *later)


# Now


def _step(journal: Journal, make: Make) -> DueStage:
    runs = sorted(journal.runs.where(make_id=make.id), key=_position)
    return step_of(make, journal.makes.plan_of(make), runs)


def _vat_item(step: DueStage, now_ms: int) -> AgendaLine:
    make = step.make
    name = f"{make.code} · {make.name}"
    if step.stage is None or step.ends_ms is None:
        title = worded("reports.finish-make", code=make.code)
        return AgendaLine(VAT, title, name, worded("reports.now"), make.id)
    detail, at = worded("reports.then-finish", make=name), Instant(step.ends_ms, make.zone)
    if (then := step.next_stage) is not None:
        detail = worded("reports.then-stage", make=name, stage=then.label, minutes=then.minutes)
    left = step.ends_ms - now_ms
    minutes = max(1, round(abs(left) / MINUTE_MS))
    if left >= 0:
        title = worded("reports.stage-until", stage=step.stage.label, at=at)
        when = worded("reports.in-minutes", minutes=minutes)
        return AgendaLine(VAT, title, detail, when, make.id)
    title = worded("reports.should-have-ended", doing=doing(step.stage.label), at=at)
    when = worded("reports.minutes-over", minutes=minutes)
    return AgendaLine(VAT, title, detail, when, make.id, late=True)


def _not_to_eat(journal: Journal, lives: Sequence[WheelLife]) -> Iterable[AgendaLine]:
    """Each make whose cheese is there, or is being made, and should not be eaten."""
    there = {life.wheel.make_id for life in lives}
    for row in journal.makes.judged():
        running = row.finished_ms is None
        if row.verdict is not None and not row.failed and (running or row.id in there):
            group = VAT if running else WHEELS
            text = text_of(row.verdict.message)
            title = worded("reports.do-not-eat", code=row.code)
            yield AgendaLine(group, title, text, worded("reports.now"), row.id, late=True)


def _rooms_out(journal: Journal, now_ms: int) -> Iterable[AgendaLine]:
    """Each room with wheels that has been outside what it allows for an hour or more."""
    for one in rooms_out(journal, now_ms):
        title = worded("reports.room-out", room=one.room.name)
        yield AgendaLine(WHEELS, title, one.out, worded("reports.now"), late=True)


def _care_item(errand: GroupedDue, today: date) -> AgendaLine:
    late = (today - errand.on).days
    notes = {due.note for due in errand.dues if due.note}
    codes = [due.life.wheel.code for due in errand.dues]
    parts = [_named(codes)] if len(codes) > 1 else [_where(errand.dues[0].life)]
    parts += sorted(notes) if len(notes) == 1 else []
    return AgendaLine(
        WHEELS,
        dues_title(errand.dues),
        "; ".join(part for part in parts if part),
        relative_day(min(errand.on, today), today),
        errand.dues[0].life.wheel.make_id,
        late=late > 0,
    )


def _tasting_item(due: Due, now_ms: int, today: date) -> AgendaLine:
    late = (today - due.on).days
    age = worded("reports.plan-and-age", plan=due.life.plan, days=due.life.age_days(now_ms))
    detail = f"{age}; {due.note}" if due.note else age
    title = dues_title([due])
    return AgendaLine(
        TASTINGS,
        title,
        detail,
        relative_day(min(due.on, today), today),
        due.life.wheel.make_id,
        late=late > 0,
    )


def _stock_item(short: Shortage) -> AgendaLine:
    item = short.ingredient
    left = ""
    if short.left is not None:
        left = worded("reports.amount-left", amount=amount_words(short.left, item.unit))
    if short.past is not None:
        which = "reports.date-of-lot" if item.lot else "reports.date"
        parts = [worded(which, on=short.past, lot=item.lot), *filter(None, [left])]
        title = worded("reports.past-its-date", name=item.name)
        return AgendaLine(STOCK, title, "; ".join(parts), worded("reports.replace"), late=True)
    took = "" if short.took is None else amount_words(short.took, item.unit)
    return AgendaLine(STOCK, worded("reports.is-low", name=item.name),
                      worded("reports.last-took", left=left, took=took),
                      worded("reports.buy"))  # fmt: skip


def _newest(mothers: list[Generation]) -> list[Generation]:
    """The newest generation of each culture that is kept alive."""
    found: dict[str, Generation] = {}
    for one in sorted(mothers, key=_made):
        found[plain_name(one.name)] = one
    return list(found.values())


def _doubted(mothers: list[Generation], today: date, zone: str) -> list[Generation]:
    return [one for one in mothers if doubts(one, today, zone)]


def _culture_item(one: Generation, today: date, zone: str) -> AgendaLine:
    title = worded("reports.culture-doubtful", name=one.name, number=one.number)
    why = text_of(doubts(one, today, zone)[0])
    return AgendaLine(STOCK, title, why, worded("reports.check"), late=True)


def _named(codes: list[str]) -> str:
    more = len(codes) - _NAMED
    if more <= 0:
        return ", ".join(codes)
    return worded("reports.and-more", codes=codes[:_NAMED], more=more)


def _where(life: WheelLife) -> str:
    return f"{life.plan}, {life.room}" if life.room else life.plan


def _firsts(items: list[AgendaLine]) -> Iterable[AgendaLine]:
    """Each item, knowing whether its group begins with it."""
    group = ""
    for item in items:
        first, group = item.group != group, item.group
        yield AgendaLine(
            item.group, item.title, item.detail, item.when, item.make_id, item.late, first
        )


# To come


def _cares_to_come(dues: list[Due], today: date) -> list[AgendaItem]:
    days: dict[tuple[date, str], list[Due]] = {}
    for due in dues:
        days.setdefault((due.on, due.kind), []).append(due)
    return [
        AgendaItem(
            on,
            relative_day(on, today, weekday=True),
            dues_title(some),
            WHEELS,
            some[0].life.wheel.make_id,
        )
        for (on, _kind), some in days.items()
    ]


def _tasting_to_come(due: Due, today: date) -> AgendaItem:
    when = relative_day(due.on, today, weekday=True)
    return AgendaItem(due.on, when, dues_title([due]), TASTINGS, due.life.wheel.make_id)


def _raw_to_come(
    journal: Journal, lives: list[WheelLife], now_ms: int, today: date
) -> list[AgendaItem]:
    """When each make from raw milk that is younger is sixty days old."""
    found: dict[int, AgendaItem] = {}
    raw = [life for life in lives if life.treatment == "raw"]
    airs = WheelAirs(journal, [life.wheel for life in raw]) if raw else None
    for life in raw:
        if life.wheel.make_id in found or airs is None:
            continue
        air = airs.through(life.wheel, life.started_ms, now_ms)
        on = sixty_days(life, air, now_ms)
        if on > today:
            code = life.wheel.code.rpartition("-")[0]
            title = worded("reports.raw-sixty-days", code=code)
            when = relative_day(on, today, weekday=True)
            found[life.wheel.make_id] = AgendaItem(on, when, title, WHEELS, life.wheel.make_id)
    return list(found.values())


def _dates_to_come(stock: list[Ingredient], today: date, zone: str) -> list[AgendaItem]:
    out = []
    for item in stock:
        if item.expires_ms is None or item.amount_left == 0:
            continue
        day = local(item.expires_ms, zone).date()
        if 0 <= (day - today).days <= _DATES_AHEAD_DAYS:
            which = "reports.use-by-of-lot" if item.lot else "reports.use-by"
            title = worded(which, name=item.name, lot=item.lot)
            out.append(AgendaItem(day, relative_day(day, today, weekday=True), title, STOCK))
    return out


def _mothers_to_come(mothers: list[Generation], today: date, zone: str) -> list[AgendaItem]:
    out = []
    for one in mothers:
        if one.keep_until_ms is not None:
            day = local(one.keep_until_ms, zone).date()
            if day >= today:
                title = worded("reports.last-day", name=one.name, number=one.number)
                out.append(AgendaItem(day, relative_day(day, today, weekday=True), title, STOCK))
    return out


def _makes_of_series(journal: Journal, today: date) -> list[AgendaItem]:
    """The next make of each series, newest first: it waits for milk, not for a day."""
    return [
        AgendaItem(
            today,
            worded("reports.next-milk"),
            worded(
                "reports.make-of-series",
                number=design.next.one.position + 1,
                makes=len(design.makes),
                series=design.series.name,
            ),
            SERIES,
            series_id=design.series.id,
        )
        for design in journal.designs.all()[:_SERIES_MOST]
        if design.next is not None
    ]


def _has_makes(journal: Journal) -> bool:
    return bool(journal.makes.newest(1))


def _by_day(one: AgendaItem) -> tuple[date, str]:
    return one.on, one.title


def _made(one: Generation) -> int:
    return one.made_ms


def _position(run: StageRun) -> int:
    return run.position
