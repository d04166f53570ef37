"""A sum's answer taken over into the record it was opened from: one act, to be taken back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from journal.desk.place import CurrentRecord, Desk
from journal.records import id_of
from journal.records.makes import Make, Note
from journal.records.stock import plain_name
from journal.topics.answer import SumAnswer
from journal.topics.asked import InputValue
from journal.topics.known import dose_of, named_for, plan_taking
from journal.topics.topic import Topic
from journal.topics.written import answer_lines, topic_title
from journal.wording import worded
from journal.wording.doses import amount_words
from journal.wording.letters import small

_NOTED = 3  # values of an answer that a note holds


@dataclass(frozen=True)
class Offer:
    """What can be done with an answer: in words, and what does it and says what became of it."""

    words: str
    take: Callable[[], str]


def offer(
    desk: Desk, record: CurrentRecord | None, topic: Topic, given: dict[str, InputValue],
    found: SumAnswer,
) -> Offer | None:  # fmt: skip
    """What the answer changes in the current record; None where there is none."""
    if record is None:
        return None
    journal, called = desk.journal, record.called
    if record.noun == "plan":
        plan = journal.plans.get(record.key)
        other = plan_taking(plan, topic, given, found)
        if other is None:
            return None

        def save() -> str:
            with journal.unit(
                worded("desk.step-take-into", topic=small(topic_title(topic)), called=called)
            ):
                kept = journal.plans.save(other)
            return worded("desk.version-saved", name=called, version=kept.version)

        return Offer(worded("desk.save-in", called=called), save)
    if record.noun == "make":
        make = journal.makes.get(record.key)
        return _of_make(desk, make, topic, found) or _noted(desk, record, topic, found)
    return _noted(desk, record, topic, found) if record.noun == "wheel" else None


def _of_make(desk: Desk, make: Make, topic: Topic, found: SumAnswer) -> Offer | None:
    """A dose as an addition and the length of a stage, while it runs; fat and protein of a mix."""
    journal = desk.journal
    if topic.name in ("milk-mix", "standardise"):
        fat, protein = found.values.get("fat_pct"), found.values.get("protein_pct")
        if not isinstance(fat, float):
            return None
        parts = {"fat_pct": fat} | ({"protein_pct": protein} if protein is not None else {})

        def mix() -> str:
            milk = replace(make.milk, **parts)
            with journal.unit(worded("desk.step-take-mix", code=make.code)):
                journal.makes.save(replace(make, milk=milk))
            return worded("desk.fat-saved", code=make.code, fat=fat)

        return Offer(worded("desk.save-fat-in", code=make.code), mix)
    if not make.running:
        return None
    dose = dose_of(topic, found)
    if dose is not None:
        return _added(desk, make, topic, dose)
    wanted = {"set": ("set", "cut_min", 1), "brining-time": ("brine", "brining_h", 60)}
    if topic.name not in wanted:
        return None
    kind, key, minutes = wanted[topic.name]
    run = journal.day.running(id_of(make))
    if run.kind != kind:
        return None
    planned = journal.plans.get(make.plan_id).stages[run.position].minutes
    extra = float(found.values[key]) * minutes - run.minutes(planned)

    def lengthen() -> str:
        journal.day.lengthen(id_of(make), extra, small(topic_title(topic)))
        return worded("desk.stage-lengthened", kind=kind, code=make.code)

    return Offer(worded("desk.lengthen-stage", kind=kind, code=make.code), lengthen)


def _added(desk: Desk, make: Make, topic: Topic, dose: tuple[str, float, str]) -> Offer:
    journal, (kind, amount, unit) = desk.journal, dose
    make_id = id_of(make)
    stages = journal.plans.get(make.plan_id).stages
    planned = [
        (position, named_for(topic, one).name)
        for position, stage in enumerate(stages)
        for one in stage.doses
        if one.kind == kind
    ]
    here = journal.day.running(make_id).position
    position, name = planned[0] if planned else (here, kind)

    def add() -> str:
        there = [
            one for one in journal.additions.where(make_id=make_id, position=position)
            if one.kind == kind and plain_name(one.name) == plain_name(name) and one.unit == unit
        ]  # fmt: skip
        if there:
            journal.stock.change(make, there[0], amount)
        else:
            journal.stock.put_in(make, position, (kind, name, unit), amount, desk.clock())
        return worded(
            "desk.dose-noted", name=name, amount=amount_words(amount, unit), code=make.code
        )

    return Offer(worded("desk.note-in", name=name, code=make.code), add)


def _noted(desk: Desk, record: CurrentRecord, topic: Topic, found: SumAnswer) -> Offer:
    """The answer as a note."""
    parts = [f"{small(line.title)} {line.text}" for line in answer_lines(topic, found)[:_NOTED]]
    text = f"{topic_title(topic)}: {'; '.join(parts)}."

    def note() -> str:
        make_id = record.key if record.noun == "make" else None
        wheel_id = record.key if record.noun == "wheel" else None
        with desk.journal.unit(
            worded("desk.step-note-with", topic=small(topic_title(topic)), called=record.called)
        ):
            desk.journal.notes.save(Note(desk.clock(), text, make_id, wheel_id))
        return worded("desk.noted-with", called=record.called)

    return Offer(worded("desk.note-with", called=record.called), note)
