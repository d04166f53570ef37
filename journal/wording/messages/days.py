"""The sentences of days and times as they are typed."""

from __future__ import annotations

from journal.records.dates import MONTHS
from journal.wording.sentences import Messages, Values


def _day_not_in_month(values: Values) -> str:
    """ "February 2027 has no 29", the year where one was typed."""
    month = f"{MONTHS[values['month'] - 1]} {values['year'] or ''}".rstrip()
    return f"“{values['typed']}” is not a date: {month} has no {values['day']}."


DAYS: Messages = {
    "records.day-not-in-month": _day_not_in_month,
    "records.no-weekday": "“{typed}” is no weekday: write them like sat,sun.",
    "records.day-to-come": "{at:day} is in the future: give a past day.",
    "records.day-too-old": "“{typed}” is before 1990. Check the year.",
    "records.date-far-away": "“{typed}” is in the year {year}. Check the year.",
    "records.no-date": ("“{typed}” is not a date. Write it like 14 March 2027 or 03/2027."),
    "records.no-past-day": ("“{typed}” is not a date. Write it like 14 March, or 2026-03-14."),
    "records.no-instant": (
        "“{typed}” is not a date and time. Write it like 2026-03-14T09:30 or 2026-03-14."
    ),
    "records.no-time": (
        "“{typed}” is not a time. Write it like 11:20, or with the date like 2026-03-14T09:30."
    ),
    "records.no-zone": "There is no time zone called “{name}”.",
    "records.other-weekday": "“{typed}” is not a date: {on:date} is a {on:weekday}.",
    "records.too-long-to-read": "That is too long to be understood: write at most {most} letters.",
    "records.too-many-parts": "That is too much for one cell: write at most {most} parts.",
    "records.time-skipped": (
        "{typed} never came that day: the clocks were put forward over it. Write the time that the "
        "right clock showed, like {after:clock}."
    ),
    "records.time-twice": (
        "{typed} came twice that day, since the clocks were put back. Write “{typed} first” or "
        "“{typed} second”."
    ),
    "records.paper-after-end": "The make was over in a row above: this row would be after its end.",
    "records.paper-impossible": (
        "{typed:quoted} is impossible for {kind:reading}: {low:g} to {high:g} {kind:reading-unit}."
    ),
    "records.paper-no-time": "Type when this was: 9:35, 0935, or 35 in the hour of the row above.",
    "records.paper-out-of-order": (
        "{typed} is not between {first:moment} of the row above and {last:moment}. Rows go by time."
    ),
    "records.paper-stage-before": "The {stage} comes before the {after}, which has begun by then.",
    "records.time-outside": (
        "{typed} is not between {first:clock} and {last:clock}: give the date too, "
        "like 2026-03-14T09:30."
    ),
}
