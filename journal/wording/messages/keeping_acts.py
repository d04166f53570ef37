"""What undo calls each act, as it stands behind "Undone: "."""

from __future__ import annotations

from journal.wording.sentences import Messages

MESSAGES: Messages = {
    "keeping.act-keep": "keep {noun:words}",
    "keeping.act-remove": "remove {noun:words}",
    "keeping.act-keep-plan": "keep plan {plan}",
    "keeping.act-remove-plan": "remove plan {plan}",
    # A make and its readings
    "keeping.act-begin-make": "begin a make",
    "keeping.act-finish": "finish {make}",
    "keeping.act-wheels": "wheels of {make}",
    "keeping.act-failed": "{make} failed",
    "keeping.act-not-failed": "{make} did not fail",
    "keeping.act-delete": "delete {make}",
    "keeping.act-undelete": "undelete {make}",
    "keeping.act-verdict": "verdict",
    "keeping.act-reading": "reading {kind:reading}",
    "keeping.act-bring-in": "bring in {kind:reading} readings",
    "keeping.act-readings-come": "{kind:reading} readings of {source}",
    "keeping.act-strike": "strike a reading",
    "keeping.act-let-stand": "let a reading stand",
    "keeping.act-fold": "fold readings",
    # The day at the vat
    "keeping.act-end-stage": "end {stage}",
    "keeping.act-begin-stage": "begin of {stage}",
    "keeping.act-longer": "{stage} {minutes:g} min longer",
    "keeping.act-shorter": "{stage} {minutes:g} min shorter",
    "keeping.act-again": "{stage} again",
    "keeping.act-turn": "turn in {stage}",
    "keeping.act-skip": "skip {stage}",
    "keeping.act-timer": "timer {timer}",
    "keeping.act-stop-timer": "stop timer {timer}",
    "keeping.act-first-flecks": "first flecks",
    # The larder
    "keeping.act-put-in": "put in {what}",
    "keeping.act-change": "change {what}",
    "keeping.act-take-back": "take back {what}",
    "keeping.act-into-brine": "into the brine",
    "keeping.act-out-of-brine": "out of the brine",
    # Series, sittings and tests
    "keeping.act-lay-out-series": "lay out a series",
    "keeping.act-put-series-away": "put a series away",
    "keeping.act-lay-out-sitting": "lay out a sitting",
    "keeping.act-take-sitting-away": "take a sitting away",
    "keeping.act-join-sitting": "{person} joins the sitting",
    "keeping.act-score": "score {code}",
    "keeping.act-lay-out-test": "lay out a {kind} test",
    "keeping.act-answer": "answer of set {number}",
    "keeping.act-lift-cloth": "lift the cloth",
}
