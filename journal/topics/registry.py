"""The list of topics, and how one is asked."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import replace
from functools import cache

from journal.message import Message
from journal.topics import (
    TopicError,
    ageing,
    brining,
    cheese,
    curd,
    heat,
    kitchen,
    limits,
    milk,
    packets,
    vat,
    wheel,
)
from journal.topics.answer import SumAnswer
from journal.topics.asked import Grid, Inputs, InputValue
from journal.topics.examples import example
from journal.topics.pictures import DRAWN, PICTURES
from journal.topics.topic import Input, Topic

STAGES: dict[str, tuple[str, ...]] = {
    "topics.stage-milk": ("density", "milk-mix", "standardise", "pasteurise"),
    "topics.stage-vat": ("culture", "culture-units", "calcium-chloride", "colour", "rennet", "set",
                         "ramp", "acidity", "meter", "acid-limits"),
    "topics.stage-press": ("moulds", "mould", "press", "spring"),
    "topics.stage-salt": ("salt", "brine", "brine-recipe", "brining-time"),
    "topics.stage-ageing": ("air", "humidity-salts", "loss", "ripening-days", "bandage", "eyes"),
    "topics.stage-cheese": ("yield", "composition", "water-activity", "growth-limits", "cost"),
}  # fmt: skip


@cache
def topics() -> dict[str, Topic]:
    """Every topic by name, in the order of the work."""
    rooms = (milk, cheese, vat, packets, heat, limits, curd, wheel, brining, ageing, kitchen)
    known = {topic.name: topic for room in rooms for topic in room.TOPICS}
    return {name: _shown(known[name], stage) for stage, names in STAGES.items() for name in names}


def _shown(topic: Topic, stage: str) -> Topic:
    """The topic in its stage, each of its keys with an example of how it is typed."""
    keys = (replace(one, example=example(topic.name, one.name)) for one in topic.keys)
    drawn, picture = DRAWN.get(topic.name), PICTURES.get(topic.name)
    return replace(topic, keys=tuple(keys), stage_id=stage, drawn=drawn, picture=picture)


def topic(name: str) -> Topic:
    """The topic of that name, or TopicError with the nearest."""
    known = topics()
    wanted = name.strip().lower().replace("_", "-").replace(" ", "-")
    if wanted not in known:
        near = nearest(wanted, list(known))
        raise TopicError("topics.no-topic", name=name, near=near)
    return known[wanted]


def key(topic: Topic, name: str) -> Input:
    """The topic's key of that name or one of its other names, or TopicError."""
    wanted = name.strip().lower().replace("-", "_")
    for one in topic.keys:
        if wanted == one.name or wanted in one.also:
            return one
    near = nearest(wanted, [one.name for one in topic.keys])
    raise TopicError("topics.no-key", topic=topic.name, name=name, near=near)


def reckon(
    name: str, given: Mapping[str, InputValue], tables: Mapping[str, Grid] | None = None
) -> SumAnswer:
    """Work a topic out.

    Parameters
    ----------
    name
        Of the topic.
    given
        Values by key, in kept units.
    tables
        The published tables that the topic names, as columns of text.

    Raises
    ------
    TopicError
        When an input is missing or makes no sense here.
    ReckoningError
        When a sum cannot take an input.
    """
    found = topic(name)
    for each in given:
        key(found, each)
    return found.work_out(Inputs(found.name, given, tables))


def nearest(word: str, known: list[str]) -> Message:
    """The end of a refusal: what was perhaps meant, else all there is."""
    close = difflib.get_close_matches(word, known, n=1)
    which = "topics.did-you-mean" if close else "topics.there-are"
    return Message(which, close="".join(close), known=known)
