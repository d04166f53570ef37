"""The sentences of `keeping`: the file, its records, and, apart, the day and who tastes.

The names of acts (`keeping.act-…`) stand in `keeping_acts`.
"""

from __future__ import annotations

from journal.wording.counts import listed
from journal.wording.messages import keeping_acts, keeping_check
from journal.wording.sentences import Messages, Values
from journal.wording.shown import write

_WAYS = (
    "“vatside check” says what is, “vatside backups” lists its backups, and “vatside rescue” saves "
    "all that can be read into a new file."
)


def _no_room(values: Values) -> str:
    known = values["known"]
    there = f"There are: {listed(known)}." if known else "There is none yet."
    return f"There is no room called “{values['room']}”. {there}"


def _more_than_left(values: Values) -> str:
    kg, left = values["kg"], f"{values['left_pct']:.0f} %"
    about = left if kg is None else f"{write(kg, 'mass')} ({left})"
    return f"Only {about} of {values['wheel']} is left: check the part."


_FILE = {
    "keeping.file-exists": "{file} exists already. Choose another name, or open it.",
    "keeping.too-much-of-a-lot": "{code} has {left:short} L of milk that no lot is named for. Give "
    "at most so much.",
    "keeping.no-folder": ("There is no folder {folder}. Create it first, or choose another."),
    "keeping.folder-not-writable": (
        "The folder {folder} cannot be written to, and a journal needs to write beside itself. "
        "“vatside backup FILE --to FOLDER” writes a copy into a folder of your own."
    ),
    "keeping.not-made-here": "{file} cannot be created here: {why}.",
    "keeping.is-folder": "{file} is a folder. A journal is a file ending in .vatside.",
    "keeping.no-file": ("There is no file {file}. Check the name, or create a new journal."),
    "keeping.file-not-read": "{file} cannot be read: {why}.",
    "keeping.is-open-here": "it is the journal that is open; choose another file",
    "keeping.no-plain-file": "it is a folder, a pipe or a device, not a file",
    "keeping.other-kind": "{file} is not a journal: it is a file of another kind.",
    "keeping.other-database": "{file} is a database, but not a journal of Vatside.",
    "keeping.not-ours": (
        "{file} was not opened: it holds a {noun} that no journal has, {name:quoted}."
    ),
    "keeping.other-changes-set-aside": (
        "The changes that lay beside {file} belong to another copy of it, so they were not used. "
        "They are in {aside}. {file} was opened as it is."
    ),
    "keeping.other-changes-left-out": (
        "The changes in {wal}, beside {file}, belong to another copy of it, so they were not used. "
        "{file} was read as it is."
    ),
    "keeping.renamed-while-open": (
        "{file} was renamed or moved while it was open: it is {now} now. Nothing new is saved "
        "until you open it there. What you typed is still here."
    ),
    "keeping.replaced-elsewhere": (
        "Another file was copied over {file} while another program has it open. Close it there "
        "first, then open it again."
    ),
    "keeping.replaced-while-open": (
        "Another file was put in the place of {file} while it was open. Nothing new is saved. Save "
        "a copy of the journal you see, or open the file that is there now. What you typed is "
        "still here."
    ),
    "keeping.deleted-while-open": (
        "{file} was deleted, or its folder is gone. Nothing new is saved. Save a copy of the "
        "journal you see: all that was saved is in it. What you typed is still here."
    ),
    "keeping.locks-do-not-hold": (
        "The disk of {folder} does not keep two programs from writing to a file at the same time. "
        "Open the journal in one program only, or move it to a disk of this computer."
    ),
    "keeping.on-a-share": (
        "{file} lies on a network share ({kind}). Two computers that have it open at the same time "
        "can damage it. Open it on one computer only, or move it to a disk of this computer."
    ),
    "keeping.copies-with-changes": (
        "Beside {file} lie copies of it with changes that {file} has not: {others:commas}. Such "
        "copies appear where two computers change a journal in a shared folder. “vatside merge” "
        "brings what they have into it."
    ),
    "keeping.open-under-other-name": (
        "{file} is open under another name, here or in another program. Close it there first."
    ),
    "keeping.format-changed": (
        "Another program has given this journal another format ({version}; this program writes "
        "{known}). Nothing was changed. Close the journal and open it again."
    ),
    "keeping.newer": (
        "{file} was written by a newer Vatside (format {version}; this one knows {known}). "
        "Install the newer program; nothing was changed."
    ),
    "keeping.older": (
        "{file} has format {version}, and this program reads format {known}. Open it "
        "in the window once: it is updated to this format, and a copy is saved "
        "beside it."
    ),
    "keeping.not-moved-on": (
        "{file} could not be updated to this program's format: {why}. A copy of it "
        "as it was is beside it: {copy}."
    ),
    "keeping.not-copied-to-move": (
        "{file} could not be updated to this program's format, because no copy of it could be made "
        "first: {why}. Nothing was changed."
    ),
    "keeping.older-in-use": (
        "{file} is to be updated to this program's format, and another program has it open. Close "
        "it there first. Nothing was changed."
    ),
    "keeping.rows-refer-to-nothing": "{rows} rows refer to nothing",
    "keeping.write-protected": "{file} is write-protected. Allow writing, or work on a copy.",
    "keeping.not-opened": "{file} cannot be opened: {why}.",
    "keeping.file-damaged": (
        "{file} is damaged and cannot be opened. “vatside backups” lists its backups, “vatside "
        "restore” puts one back and sets the damaged file aside, “vatside rescue” saves what can "
        "be read into a new one."
    ),
    "keeping.file-cut-short": (
        "{file} is damaged and cannot be opened: {there:,} of {whole:,} bytes are there. "
        "“vatside backups” lists its backups, “vatside restore” puts one back and sets the "
        "damaged file aside, “vatside rescue” saves what can be read into a new one."
    ),
    "keeping.not-backed-up": (
        "The backup could not be written into {folder}: {why}. Choose another folder, or free some "
        "space."
    ),
    "keeping.backup-folder-gone": (
        "There is no second backup today: {folder} is not there. Plug its disk in, or choose "
        "another folder under File, Backups."
    ),
    "keeping.backup-stopped": "Stopped before the copy was whole. Nothing of it is left.",
    "keeping.copy-unsound": "the copy is not sound",
    "keeping.copy-differs": "the copy is not what the journal is",
    "keeping.backup-damaged": "The backup {file} is damaged. Nothing was restored; try another.",
    "keeping.backup-is-open": "{file} is open. Close it first, or choose a backup.",
    "keeping.other-origin": (
        "{other} and {file} are not copies of one journal, so that they cannot be merged. Nothing "
        "was changed."
    ),
    "keeping.merge-stopped": "Stopped. Nothing was merged.",
    "keeping.merge-itself": "{file} is the journal itself. Choose another copy of it.",
    "keeping.other-file-there": (
        "{file} is not a journal, and {backup} is not in its folder of backups. Nothing was "
        "changed. Choose another name for the restored journal."
    ),
    "keeping.not-restored": "{file} could not be restored: {why}. It is as it was.",
    "keeping.two-letters": (
        "A journal's codes begin with two letters; “{letters}” cannot be used."
    ),
}

_WORLD = {
    "keeping.busy": "Another program is writing to this journal. Nothing was changed; try again.",
    "keeping.disk-full": ("The disk is full. Nothing was changed; free some space and try again."),
    "keeping.disk-faulty": "The disk could not be read or written. Nothing was changed.",
    "keeping.not-writable-here": (
        "This journal cannot be written to here. Save a copy in a folder of your own, and open "
        "that."
    ),
    "keeping.journal-damaged": (f"This journal is damaged. {_WAYS}"),
    "keeping.row-damaged": (
        f"This journal is damaged: row {{key}} of {{noun}} cannot be read. {_WAYS}"
    ),
    "keeping.nothing-to-rescue": "Nothing in {file} can be saved. “vatside backups” lists backups.",
    "keeping.readings-damaged": (
        f"Some readings in this journal are damaged and cannot be read. {_WAYS}"
    ),
    "keeping.records-damaged": (
        f"Some records in this journal are damaged and cannot be read. {_WAYS}"
    ),
    "keeping.something-hangs-on-it": (
        "Something else in the journal depends on this, such as a sensor's readings. "
        "Nothing was changed."
    ),
    "keeping.there-by-now": (
        "Another record has the same name or code by now. Nothing was changed."
    ),
    "keeping.changed-since": (
        "This {noun:record} was changed since by {seat:seat}: {act}, {at:short-day} {at:clock}. "
        "Nothing was taken back."
    ),
    "keeping.not-as-it-was": (
        "This {noun:record} is not as it was left then. Nothing was taken back."
    ),
    "keeping.taken-back-already": (
        "This was taken back already, or its records were deleted for good."
    ),
    "keeping.not-to-be-taken-back": (
        "This cannot be taken back. A backup may have what was there before."
    ),
    "keeping.no-act": "There is no act number {key} in the history.",
    "keeping.change-refused": "The journal refused the change: {why}. Nothing was changed.",
}

_RECORDS: Messages = {
    "keeping.no-record": "There is no {noun:words} number {key}.",
    "keeping.no-column": "{noun} has no {columns:commas}.",
    "keeping.no-plan": "There is no plan called “{plan}” here. There are: {plans:commas}.",
    "keeping.no-plan-yet": ("There is no plan called “{plan}” here. There are no plans yet."),
    "keeping.no-wheel": ("There is no wheel {wheel}. “makes” shows how many a make has."),
    "keeping.size-for-each": "Give one size, or one for each of {wheels:wheel|wheels}.",
    "keeping.no-room": _no_room,
    "keeping.nothing-called": (
        "There is no wheel, make, room or shelf called “{what}”. “wheels” lists the wheels."
    ),
    "keeping.shelf-in-two-rooms": (
        "Two rooms have a shelf {shelf}: write the room before it, like “Cellar/{shelf}”."
    ),
    "keeping.before-it-was-made": "{wheel} was not made yet then: check the day.",
    "keeping.wheel-gone": "{wheel} was gone by then ({why}): check the day, or bring it back.",
    "keeping.weigh-it-first": (
        "{wheel} was never weighed: weigh it first, or give a part like 1/4."
    ),
    "keeping.more-than-is-left": _more_than_left,
    "keeping.pieces": "Cut {wheel} into two pieces or more: give each as a part or a weight.",
    "keeping.pieces-too-heavy": (
        "The pieces weigh {sum:mass.3} together, {wheel} weighs {kg:mass.3}: check the weights."
    ),
    "keeping.no-make": "There is no make {make}. “makes” lists all makes.",
    "keeping.no-make-yet": "There is no make in this journal yet.",
    "keeping.make-in-bin": (
        "There is no make {make}: it is in the bin. “undelete” brings it back."
    ),
    "keeping.not-in-bin": "{make} is not in the bin.",
    "keeping.bin-lacks": "There is no make {make} in the bin. In the bin: {makes:commas}.",
    "keeping.bin-empty": "There is no make {make} in the bin. The bin is empty.",
    "keeping.no-such-reading": "There is no such reading to strike out.",
    "keeping.reading-impossible": (
        "{value:g} {kind:reading-unit} cannot be {kind:reading}: it is outside {low:g} to {high:g}."
    ),
    "keeping.readings-impossible": ("Some {kind:reading} values are outside {low:g} to {high:g}."),
    "keeping.photo-not-copied": "The photo {photo} cannot be copied: {why}.",
    "keeping.photos-were-in": (
        "{photos:,} photos of this journal are not here. They were in {folder}. Put that folder "
        "beside the journal, and open the journal again."
    ),
    "keeping.photo-too-large": ("{photo} is over {megabytes} MB: make the photo smaller first."),
    "keeping.photo-unknown": (
        "{photo} is not a photo this journal can show: use JPEG, PNG or WebP."
    ),
    "keeping.not-in-the-bin": "There is no {what} in the bin. “bin” lists what is.",
    "keeping.bin-needs": (
        "This {noun:record} belongs to a {parent:record} that is in the bin: restore that first."
    ),
    "keeping.series-plan-missing": "The plan of this make of the series is not in the journal.",
}

_MAKES = {
    "keeping.no-whey-yet": "{make} began later than that: there was no whey yet.",
    "keeping.whey-too-much": (
        "{litres:g} L of whey cannot come from {make}: it had {milk:g} L in the vat."
    ),
    "keeping.whey-went-elsewhere": (
        "{litres:g} L of whey cannot come from {make}: it had {milk:g} L in the vat, "
        "and {used:g} L of its whey was used elsewhere."
    ),
    "keeping.brine-gone": "The brine “{brine}” was poured away.",
    "keeping.in-brine-already": "It is in “{brine}” already: take it out first.",
    "keeping.no-reason": "Type why it failed, in a few words.",
    "keeping.failed-early": "{make} began later than that: it cannot have failed before.",
    "keeping.not-failed": "{make} is not marked as failed.",
    "keeping.move-has-a-room": (
        "{wheel}: a move has a room, and other care has none. Delete this line and save it anew."
    ),
    "keeping.marked-failed": "{make} is marked as failed. Remove the mark first.",
    "keeping.finished-already": "{make} is already finished.",
    "keeping.finished-early": "{make} began later than that: it cannot finish before.",
    "keeping.wheel-before-first": "A wheel's number cannot be below the first.",
    "keeping.no-stage-runs": "No stage of this make is running.",
    "keeping.stage-ends-early": "The {stage} began later than that: it cannot end before.",
    "keeping.nothing-to-skip": ("No stage comes after the {stage}, so none can be skipped."),
    "keeping.last-stage": "The {stage} is the last stage: finish the make instead.",
    "keeping.milk-lots-are-more": "{code} has {litres:short} L of its milk lots. Change those "
    "first.",
    "keeping.paper-empty": "No row is typed yet.",
    "keeping.plan-has-no-stage": (
        "No stage of {code} that has begun is one of “{plan}”. Choose another plan."
    ),
    "keeping.before-it-began-later": "The {stage} before it began later than that.",
    "keeping.not-begun": "The {stage} has not begun yet.",
    "keeping.begun-again-before": "The {stage} was restarted before that.",
    "keeping.had-begun-later": "The {stage} had begun later than that.",
    "keeping.no-flocculation": (
        "No flocculation test is running. Start it when you add the rennet."
    ),
}

_SITTINGS = {
    "keeping.nobody-tastes": "First say who is tasting.",
    "keeping.nobody-joins": "Say who joins.",
    "keeping.sits-already": "{person} is already in this session.",
    "keeping.same-person-twice": "The same person is named twice.",
    "keeping.nothing-to-taste": "First choose what to taste.",
    "keeping.tasted-before-made": "{wheel} cannot be tasted before it was made.",
    "keeping.card-empty": "There is no score yet: type at least one.",
    "keeping.blind-needs-codes": "A blind session needs codes and starts hidden.",
    "keeping.sitting-covered": "This session is still hidden: reveal it first.",
    "keeping.sitting-lifted": "This session is already revealed.",
    "keeping.scored-blind": ("The session is revealed: scores given blind can no longer change."),
    "keeping.answer-of-no-session": (
        "This answer is of no blind session in this journal: it may belong to another journal, or "
        "its session was deleted."
    ),
    "keeping.answer-of-nobody": (
        "This answer is of nobody in its session. Was the session set up again after the pages "
        "were written?"
    ),
    "keeping.answer-differs": (
        "{person}'s scores are saved already, and this answer would change {count:of them|of them}."
    ),
    "keeping.codes-under-cups": (
        "The codes under the cups are not those of this session: check each again."
    ),
    "keeping.same-cheese": "A test compares cheeses: name two different ones.",
    "keeping.test-covered": "This test is still hidden: reveal it first.",
    "keeping.test-lifted": "This test is already revealed.",
    "keeping.answered-blind": ("The test is revealed: answers given blind can no longer change."),
    "keeping.names-one-cup": "An answer to a {kind} test names one cup.",
    "keeping.names-cups": "An answer to a {kind} test names {cups} cups.",
    "keeping.reference-named": "The first cup is the reference: name the one that is like it.",
    "keeping.nobody-answered": "Nobody has answered yet.",
    "keeping.ranks-nothing": "A {kind} test has no ranking.",
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
