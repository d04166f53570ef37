"""What `vatside check` finds, a sentence each."""

from __future__ import annotations

from journal.wording.sentences import Messages

_DAMAGED = (
    "The file itself is damaged. “vatside rescue” saves what can be read into a new one, and "
    "“vatside backups” lists its backups."
)
_BLOCK = "{readings:,} {kind} {readings:|reading|readings} of {make}, from {since:minute} on, are "

MESSAGES: Messages = {
    "keeping.file-itself-damaged": _DAMAGED,
    "keeping.pages-damaged": _DAMAGED + " In it: {lines}.",
    "keeping.row-refers-to-nothing": "Row {row} of {noun} refers to a {parent} that is not there.",
    "keeping.row-unsound": "Row {key} of {noun} is damaged and is left out.",
    "keeping.rows-not-read": "Some rows of {noun} cannot be read.",
    "keeping.photo-damaged": "The photo {photo} in {folder} is damaged and is not shown.",
    "keeping.time-impossible": (
        "Row {key} of {noun} has an impossible time: {at} ms after 1970 in UTC."
    ),
    "keeping.ends-before-it-began": "Row {key} of {noun} ends before it begins.",
    "keeping.readings-outside": (
        "Readings of {kind} of {make} lie outside the make: one is of {at:minute}."
    ),
    "keeping.twice": "{value} is there more than once in {noun}.",
    "keeping.readings-twice": (
        "{readings:,} {kind} {readings:|reading|readings} of {make} are there twice."
    ),
    "keeping.photo-missing": "The photo {photo} is not in {folder}.",
    "keeping.block-damaged": _BLOCK + "damaged and cannot be read.",
    "keeping.block-unordered": (_BLOCK + "out of order, or not from the time given for them."),
    "keeping.of-no-make": "no make",
    "keeping.record-impossible": "A {noun} is impossible: {why}",
    "keeping.record-damaged": "A {noun} is damaged and cannot be read.",
    "keeping.plan-impossible": "Plan {key} is impossible: {why}",
    "keeping.plan-damaged": "Plan {key} is damaged and cannot be read.",
    "keeping.finished-before-it-began": "{make} is finished before it began.",
    "keeping.stage-ends-before-it-began": "The {stage} of {make} ends before it began.",
}
