"""The sentences of `records` that no template can write."""

from __future__ import annotations

from journal.records.dates import MONTHS
from journal.wording.messages.typed import TYPED
from journal.wording.sentences import Messages, Values
from journal.wording.stages import load_words


def _day_not_in_month(values: Values) -> str:
    """ "February 2027 has no 29", the year where one was typed."""
    month = f"{MONTHS[values['month'] - 1]} {values['year'] or ''}".rstrip()
    return f"“{values['typed']}” is not a date: {month} has no {values['day']}."


_SOURCES = {
    "file": "a file that a logger keeps appending to",
    "topic": "an MQTT topic",
    "line": "a serial line",
}


def _source_strange(values: Values) -> str:
    return f"{_SOURCES[values['kind']]} has no {', '.join(values['names'])}."


def _turn_then_load(values: Values) -> str:
    """A turn and the load after it, on the mould or as a pressure."""
    load = load_words(values["kpa"], values["load_kg"])
    return f"turn {values['turn']} of {values['turns']}, then {load}"


MESSAGES: Messages = {
    **TYPED,
    "records.day-not-in-month": _day_not_in_month,
    "records.source-strange": _source_strange,
    "records.turn-then-load": _turn_then_load,
}
