"""The sentences of `keeping` that no template can write: care goes by its kind."""

from __future__ import annotations

from journal.message import Message
from journal.wording.care import care_name
from journal.wording.sentences import Messages, Values, worded


def _care(values: Values) -> str:
    """ "turn HL-0001-A", "turn 5 wheels"."""
    what = values["what"] or Message("wording.many-wheel", number=values["wheels"])
    return worded("wording.act-care", care=care_name(values["kind"]), what=what)


MESSAGES: Messages = {"keeping.act-care": _care}
