"""The sessions as days on the strip, and who is to be named at one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence

from journal.desk.calendarline import CHOSEN, RING, CalendarMark
from journal.desk.form.suggest import Suggestion
from journal.keeping.session_rows import GivenRow, SessionRow, WheelRow
from journal.records.instants import same_day
from journal.records.tastings import NOBODY
from journal.wording import worded
from journal.wording.dates import day_words
from journal.wording.session_progress import Served


def session_days(
    sessions: Sequence[SessionRow], at_ms: int, now_ms: int, zone: str
) -> list[CalendarMark]:
    """Every session as a ring, the one of `at_ms` chosen, added where there is none yet."""
    label = worded("wording.today") if same_day(at_ms, now_ms, zone) else day_words(at_ms, zone)
    days = []
    for row in sessions:
        chosen = same_day(row.at_ms, at_ms, zone)
        words = worded(
            "desk.session-on", day=day_words(row.at_ms, zone), wheels=row.wheels,
            people=row.assessors,
        )  # fmt: skip
        look = CHOSEN if chosen else RING
        days.append(CalendarMark(row.at_ms, words, row.at_ms, look, label if chosen else ""))
    if days and not any(day.look == CHOSEN for day in days):
        words = worded("desk.nothing-on-day", day=day_words(at_ms, zone))
        days.append(CalendarMark(at_ms, words, at_ms, CHOSEN, label))
    return days


def served_openly(
    given: Sequence[GivenRow],
    people: Sequence[str],
    at: WheelRow | None,
    who: str,
    typed: Collection[tuple[int, str]],
) -> tuple[list[str], list[Served]]:
    """The wheels of an open session and everyone who may taste them, by (wheel id, name). `at` and
    `who` are those of the sheet that is open; `typed` is what is typed and not saved, the names in
    small letters."""
    wheels = {g.wheel_id: g.wheel_code for g in given} | ({at.id: at.code} if at else {})
    names = list(dict.fromkeys([*people, *(g.assessor for g in given), *([who] if who else [])]))
    scores = Counter((g.wheel_id, g.assessor) for g in given)
    served = [
        Served(name, key, scores[key], typed=(wheel, name.casefold()) in typed)
        for name in names
        for wheel in wheels
        for key in [(wheel, name)]
    ]
    return list(wheels.values()), served


def waiting(session: Sequence[GivenRow], known: Sequence[str], wheel_id: int) -> list[str]:
    """Who has not scored a wheel at a session yet: those who sit there first, then all others."""
    done = {g.assessor for g in session if g.wheel_id == wheel_id}
    there = [g.assessor for g in session if g.assessor != NOBODY]
    return [n for n in dict.fromkeys([*there, *known]) if n not in done]


def held_back(
    given: Sequence[GivenRow], today: set[int], mine: str | None
) -> tuple[list[GivenRow], bool]:
    """A wheel's scores as an assessor may see them (None: nobody is tasting), and whether they
    are held back: all of them, earlier months too, until the assessor has kept theirs of today."""
    if mine is None or any(g.tasting_id in today and g.assessor == mine for g in given):
        return list(given), False
    return [], bool(given)


def people_like(text: str, known: Sequence[str]) -> list[Suggestion]:
    """Who could be meant by a text; a name not known yet stands at the end."""
    wanted = " ".join(text.split())
    fits = [name for name in known if name.casefold().startswith(wanted.casefold())]
    out = [Suggestion(name, "", name) for name in fits]
    if wanted and wanted.casefold() not in {name.casefold() for name in fits}:
        out.append(Suggestion(wanted, "a new assessor", wanted))
    return out
