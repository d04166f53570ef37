"""The sentences of `keeping`: the file, its records, and, apart, the day and who tastes.

The names of acts (`keeping.act-…`) stand in `keeping_acts`.
"""

from __future__ import annotations

from journal.wording.messages import keeping_acts, keeping_check
from journal.wording.sentences import Messages

_FILE = {
    "keeping.file-exists": "{file} exists already. Choose another name, or open it.",
    "keeping.no-folder": "There is no folder {folder}. Make it first, or choose another.",
    "keeping.folder-not-writable": (
        "The folder {folder} cannot be written to, and a journal needs to write beside itself. "
        "Copy it to a folder of your own."
    ),
    "keeping.not-made-here": "{file} cannot be made here: {why}.",
    "keeping.is-folder": "{file} is a folder. A journal is a file ending in .vatside.",
    "keeping.no-file": "There is no file {file}. Check the name, or make it new.",
    "keeping.file-not-read": "{file} cannot be read: {why}.",
    "keeping.is-open-here": "it is the journal that is open; choose another file",
    "keeping.other-kind": "{file} is no journal: it is a file of another kind.",
    "keeping.other-database": "{file} is a database, but no journal of Vatside.",
    "keeping.newer": (
        "{file} was written by a newer Vatside (format {version}; this one knows {known}). "
        "Install the newer program; nothing was changed."
    ),
    "keeping.older": (
        "{file} has format {version}, and this program reads format {known}. Open it in the "
        "window once: a copy is kept beside it, and it is brought to this format."
    ),
    "keeping.not-moved-on": (
        "{file} could not be brought to this program's format: {why}. A copy as it was lies "
        "beside it: {copy}."
    ),
    "keeping.rows-refer-to-nothing": "{rows} rows refer to nothing",
    "keeping.write-protected": "{file} is write-protected. Allow writing, or work on a copy.",
    "keeping.not-opened": "{file} cannot be opened: {why}.",
    "keeping.file-damaged": (
        "{file} is damaged and cannot be opened. Copy it away, and go on with your last copy of it."
    ),
    "keeping.file-cut-short": (
        "{file} is damaged and cannot be opened: {there:,} of {whole:,} bytes are there. Copy it "
        "away, and go on with your last copy of it."
    ),
    "keeping.two-letters": "A journal's codes begin with two letters; “{letters}” will not do.",
}

_WORLD = {
    "keeping.busy": "Another program is writing to this journal. Nothing was changed; try again.",
    "keeping.disk-full": "The disk is full. Nothing was changed; make room and try again.",
    "keeping.disk-faulty": "The disk could not be read or written. Nothing was changed.",
    "keeping.not-writable-here": (
        "This journal cannot be written to here. Copy it to a folder of your own."
    ),
    "keeping.journal-damaged": (
        "This journal is damaged. Copy it away and run “vatside check” on the copy."
    ),
    "keeping.readings-damaged": (
        "Some readings in this journal are damaged and cannot be read. Copy the file away and run "
        "“vatside check” on the copy: it says which."
    ),
    "keeping.records-damaged": (
        "Some records in this journal are damaged and cannot be read. Copy the file away and run "
        "“vatside check” on the copy."
    ),
    "keeping.something-hangs-on-it": (
        "Something else in the journal hangs on this, such as a probe's readings. Nothing was "
        "changed."
    ),
    "keeping.change-refused": "The journal refused the change: {why}. Nothing was changed.",
}

_RECORDS = {
    "keeping.no-record": "There is no {noun:words} number {key}.",
    "keeping.no-column": "{noun} has no {columns:commas}.",
    "keeping.no-plan": "There is no plan called “{plan}” here. There are: {plans:commas}.",
    "keeping.no-plan-yet": "There is no plan called “{plan}” here. There are: none yet.",
    "keeping.no-wheel": "There is no wheel {wheel}. “makes” says how many a make has.",
    "keeping.no-make": "There is no make {make}. “makes” lists those there are.",
    "keeping.no-make-yet": "There is no make in this journal yet.",
    "keeping.make-in-bin": (
        "There is no make {make}: it is in the bin. “undelete” brings it back."
    ),
    "keeping.not-in-bin": "{make} is not in the bin.",
    "keeping.bin-lacks": "There is no make {make} in the bin. In the bin: {makes:commas}.",
    "keeping.bin-empty": "There is no make {make} in the bin. In the bin: none.",
    "keeping.no-such-reading": "There is no such reading to strike out.",
    "keeping.reading-impossible": (
        "{value:g} {kind:reading-unit} cannot be {kind:reading}: it lies outside {low:g} to "
        "{high:g}."
    ),
    "keeping.readings-impossible": ("Some {kind:reading} values lie outside {low:g} to {high:g}."),
    "keeping.photo-not-copied": "The photo {photo} cannot be copied: {why}.",
    "keeping.photo-too-large": ("{photo} is over {megabytes} MB: make the photo smaller first."),
    "keeping.photo-unknown": ("{photo} is no photo this journal can show: use JPEG, PNG or WebP."),
    "keeping.series-plan-missing": "The plan of this make of the series is not in the journal.",
}

_MAKES = {
    "keeping.no-whey-yet": "{make} began later than that: there was no whey yet.",
    "keeping.whey-too-much": (
        "{litres:g} L of whey cannot come from {make}: it had {milk:g} L in the vat."
    ),
    "keeping.whey-went-elsewhere": (
        "{litres:g} L of whey cannot come from {make}: it had {milk:g} L in the vat, and {used:g} "
        "L of its whey went elsewhere."
    ),
    "keeping.brine-gone": "The brine “{brine}” was poured away.",
    "keeping.in-brine-already": "It lies in “{brine}” already: take it out first.",
    "keeping.no-reason": "Type why it failed, in a few words.",
    "keeping.failed-early": "{make} began later than that: it cannot have failed before.",
    "keeping.not-failed": "{make} is not marked as failed.",
    "keeping.marked-failed": "{make} is marked as failed. Take that back first.",
    "keeping.finished-already": "{make} is finished already.",
    "keeping.finished-early": "{make} began later than that: it cannot finish before.",
    "keeping.wheel-before-first": "Wheels are counted from the first on.",
    "keeping.no-stage-runs": "No stage of this make is running.",
    "keeping.stage-ends-early": "The {stage} began later than that: it cannot end before.",
    "keeping.nothing-to-skip": "No stage comes after the {stage}: there is none to skip.",
    "keeping.last-stage": "The {stage} is the last stage: finish the make instead.",
    "keeping.began-with-make": "The {stage} began with the make itself.",
    "keeping.before-it-began-later": "The {stage} before it began later than that.",
    "keeping.begun-again-before": "The {stage} was begun again before that.",
    "keeping.had-begun-later": "The {stage} had begun later than that.",
    "keeping.no-flocculation": (
        "No flocculation test is running. Start it when the rennet goes in."
    ),
}

_SITTINGS = {
    "keeping.nobody-tastes": "Say who is tasting first.",
    "keeping.nobody-joins": "Say who joins.",
    "keeping.sits-already": "{person} sits there already.",
    "keeping.same-person-twice": "The same person is named twice.",
    "keeping.nothing-to-taste": "Choose what is to be tasted first.",
    "keeping.tasted-before-made": "{wheel} cannot be tasted before it was made.",
    "keeping.card-empty": "Nothing was given yet: type at least one score.",
    "keeping.blind-needs-codes": "A blind sitting needs codes and begins under the cloth.",
    "keeping.sitting-covered": "This sitting is still under the cloth.",
    "keeping.sitting-lifted": "The cloth of this sitting is lifted already.",
    "keeping.scored-blind": "The cloth is lifted: what was given blind stays as it was.",
    "keeping.codes-under-cups": (
        "The codes under the cups are not those of this sitting: look at each once more."
    ),
    "keeping.same-cheese": "A test compares cheeses: name two that are not the same.",
    "keeping.test-covered": "This test is still under the cloth.",
    "keeping.test-lifted": "The cloth of this test is lifted already.",
    "keeping.answered-blind": "The cloth is lifted: what was answered blind stays as it was.",
    "keeping.names-one-cup": "An answer to a {kind} test names one cup.",
    "keeping.names-cups": "An answer to a {kind} test names {cups} cups.",
    "keeping.reference-named": "The first cup is the reference: name the one that is like it.",
    "keeping.nobody-answered": "Nobody has answered yet.",
    "keeping.ranks-nothing": "A {kind} test ranks nothing.",
}

MESSAGES: Messages = {
    **_FILE,
    **_WORLD,
    **_RECORDS,
    **_MAKES,
    **_SITTINGS,
    **keeping_acts.MESSAGES,
    **keeping_check.MESSAGES,
}
