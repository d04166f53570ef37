"""A part of a wheel, or all that is left of it, leaves: asked for, saved, corrected."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from journal.desk.form.form import FormSpec
from journal.desk.form.spec import AS_TYPED, ROW, Field, FormValues
from journal.keeping import Journal
from journal.records import id_of
from journal.records.dates import read_day
from journal.records.instants import local
from journal.records.kinds import TAKEN_KINDS
from journal.records.taken_typed import read_part
from journal.records.wheels import Removal, Wheel
from journal.wording import worded
from journal.wording.dates import format_day
from journal.wording.letters import capital
from journal.wording.wheels import part_words

_WORDS = {"thrown": "Thrown away"}


def ask_part(
    journal: Journal, wheel: Wheel, now_ms: int, saved: Callable[[Removal], None]
) -> FormSpec:
    """The question how a wheel, or a part of it, left."""

    def save(filled: FormValues) -> None:
        at_ms = read_day(filled.text("day"), journal.zone, now_ms)
        whom, why = filled.text("to"), filled.text("why")
        kind, part = filled.text("how"), filled.text("part").strip()
        if not part:
            saved(journal.shelves.take_all(wheel, kind, at_ms, whom, why))
        else:
            share, kg = read_part(part)
            saved(journal.shelves.take(Removal(id_of(wheel), kind, at_ms, share, kg, whom, why)))

    title = worded("desk.how-it-leaves", code=wheel.code)
    return FormSpec(title, _fields(None, journal.zone), save, instants=(journal.zone, now_ms))


def correct_part(journal: Journal, taken: Removal, code: str, now_ms: int) -> FormSpec:
    """The same of a part that was taken before, as it is now."""

    def save(filled: FormValues) -> None:
        part = filled.text("part").strip()
        share, kg = (taken.share, taken.weight_kg)
        if part != part_words(taken):
            share, kg = read_part(part) if part else (1.0, None)
        day = read_day(filled.text("day"), journal.zone, now_ms)
        same = local(day, journal.zone).date() == local(taken.at_ms, journal.zone).date()
        journal.shelves.correct(
            replace(
                taken, kind=filled.text("how"), share=share, weight_kg=kg, whom=filled.text("to"),
                why=filled.text("why"), at_ms=taken.at_ms if same else day,
            )
        )  # fmt: skip

    fields = _fields(taken, journal.zone)
    return FormSpec(
        worded("desk.what-was-taken", code=code), fields, save, instants=(journal.zone, now_ms)
    )


def _fields(taken: Removal | None, zone: str) -> tuple[Field, ...]:
    options = [(kind, _WORDS.get(kind, capital(kind))) for kind in TAKEN_KINDS]
    day = "today" if taken is None else format_day(local(taken.at_ms, zone), short=True)
    part = "" if taken is None else part_words(taken)
    whom, why = ("", "") if taken is None else (taken.whom, taken.why)
    how = TAKEN_KINDS[0] if taken is None else taken.kind
    return (
        Field("how", "How", ROW, options=options, text=how),
        Field("part", "Part", AS_TYPED, text=part, hint="1/4 or 300 g. Empty: all that is left"),
        Field("to", "To whom", AS_TYPED, text=whom, hint="optional"),
        Field("why", "Why", AS_TYPED, text=why, hint="optional"),
        Field("day", "Day", AS_TYPED, text=day),
    )
