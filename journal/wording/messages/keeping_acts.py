"""What undo calls each act, after "Undone: "."""

from __future__ import annotations

from journal.wording.care import care_name
from journal.wording.counts import counted
from journal.wording.sentences import Messages, Values


def _care(values: Values) -> str:
    """ "turn HL-0001-A", "turn 5 wheels"."""
    what = values["what"] or counted(values["wheels"], "wheel")
    return f"{care_name(values['kind'])} {what}"


MESSAGES: Messages = {
    "keeping.act-keep": "save {noun:words}",
    "keeping.act-remove": "remove {noun:words}",
    "keeping.act-keep-plan": "save plan {plan}",
    "keeping.act-remove-plan": "remove plan {plan}",
    # A make and its readings
    "keeping.act-begin-make": "start a make",
    "keeping.act-finish": "finish {make}",
    "keeping.act-wheels": "wheels of {make}",
    "keeping.act-failed": "{make} failed",
    "keeping.act-not-failed": "{make} did not fail",
    "keeping.act-delete": "delete {make}",
    "keeping.act-undelete": "undelete {make}",
    "keeping.act-verdict": "verdict",
    "keeping.act-tags": "tags of {make}",
    "keeping.act-schedule": "schedule of {what}",
    "keeping.act-reading": "reading {kind:reading}",
    "keeping.act-bring-in": "import {kind:reading} readings",
    "keeping.act-readings-come": "{kind:reading} readings from {source}",
    "keeping.act-strike": "strike out a reading",
    "keeping.act-let-stand": "restore a reading",
    "keeping.act-come-in": "readings that came in",
    "keeping.act-restore": "restore a backup",
    "keeping.act-merge": "merge {other}",
    "keeping.act-merge-codes": "new codes of the merge",
    "keeping.act-merge-choice": "choices of the merge",
    "keeping.act-bin-restore": "restore from the bin",
    "keeping.act-bin-empty": "empty the bin",
    "keeping.act-fold": "compact readings",
    # The day at the vat
    "keeping.act-compare": "compare with other makes",
    "keeping.act-compare-moment": "line up",
    "keeping.act-compare-order": "sort the ribbons",
    "keeping.act-compare-time": "lay by time",
    "keeping.act-end-stage": "finish {stage}",
    "keeping.act-begin-stage": "start of {stage}",
    "keeping.act-stage-times": "times of the stages",
    "keeping.act-paper-day": "day from paper, {rows:row|rows}",
    "keeping.act-milk-amount": "milk of {make}",
    "keeping.act-other-plan": "{make} is {plan}",
    "keeping.act-correct-make": "correct {make}",
    "keeping.act-start": "start of the make",
    "keeping.act-longer": "{stage} {minutes:g} min longer",
    "keeping.act-shorter": "{stage} {minutes:g} min shorter",
    "keeping.act-again": "{stage} again",
    "keeping.act-turn": "turn in {stage}",
    "keeping.act-skip": "skip {stage}",
    "keeping.act-timer": "timer {timer}",
    "keeping.act-stop-timer": "stop timer {timer}",
    "keeping.act-first-flecks": "first flecks",
    # Wheels and rooms
    "keeping.act-weigh": "weigh {wheel}",
    "keeping.act-care": _care,
    "keeping.act-move": "move {wheels:wheel|wheels} to {room}",
    "keeping.act-taken": "{wheel}: {kind}",
    "keeping.act-put-back": "{wheel}: part not taken",
    "keeping.act-cut": "cut {wheel}",
    "keeping.act-air": "air of {room}",
    "keeping.act-room": "room {room}",
    "keeping.act-air-check": "check of the hygrometer of {room}",
    "keeping.act-away": "days away",
    # The stock
    "keeping.act-pour": "milk of {farm} into {code}",
    "keeping.act-put-in": "add {what}",
    "keeping.act-change": "change {what}",
    "keeping.act-take-back": "remove {what}",
    "keeping.act-into-brine": "into the brine",
    "keeping.act-out-of-brine": "out of the brine",
    # Series, sessions and tests
    "keeping.act-lay-out-series": "set up a series",
    "keeping.act-put-series-away": "remove a series",
    "keeping.act-lay-out-sitting": "set up a session",
    "keeping.act-take-sitting-away": "remove a session",
    "keeping.act-join-sitting": "{person} joins the session",
    "keeping.act-score": "score {code}",
    "keeping.act-take-answer": "answer of {person}",
    "keeping.act-lay-out-test": "set up a {kind} test",
    "keeping.act-answer": "answer of set {number}",
    "keeping.act-lift-cloth": "reveal",
}
