"""The sentences of `keeping` that no template can write."""

from __future__ import annotations

from journal.wording.care import care_name
from journal.wording.counts import counted, listed
from journal.wording.sentences import Messages, Values
from journal.wording.shown import write


def _no_room(values: Values) -> str:
    known = values["known"]
    there = f"There are: {listed(known)}." if known else "There is none yet."
    return f"There is no room called “{values['room']}”. {there}"


def _more_than_left(values: Values) -> str:
    kg, left = values["kg"], f"{values['left_pct']:.0f} %"
    about = left if kg is None else f"{write(kg, 'mass')} ({left})"
    return f"Only {about} of {values['wheel']} is left: check the part."


def _care(values: Values) -> str:
    """ "turn HL-0001-A", "turn 5 wheels"."""
    what = values["what"] or counted(values["wheels"], "wheel")
    return f"{care_name(values['kind'])} {what}"


MESSAGES: Messages = {
    "keeping.act-care": _care,
    "keeping.more-than-is-left": _more_than_left,
    "keeping.no-room": _no_room,
}
