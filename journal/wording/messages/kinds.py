"""The sentences of the closed lists of `records`: a word that is not in them."""

from __future__ import annotations

from journal.wording.sentences import Messages

_NO_SUCH = "“{word}” is not %s. There are: {known:commas}."

KINDS: Messages = {
    "records.no-such-animal": _NO_SUCH % "an animal that gives milk",
    "records.no-such-brine-event": _NO_SUCH % "a thing done to a brine",
    "records.no-such-care": _NO_SUCH % "a kind of care",
    "records.no-such-coding": _NO_SUCH % "a way to code samples",
    "records.no-such-culture-type": _NO_SUCH % "a type of culture",
    "records.no-such-gate": _NO_SUCH % "a kind of acid target",
    "records.no-such-ingredient": _NO_SUCH % "a kind of ingredient",
    "records.no-such-panel-test": _NO_SUCH % "a panel test",
    "records.no-such-reading": "There is no reading called “{word}”. There are: {known:commas}.",
    "records.no-such-source": _NO_SUCH % "a kind of source",
    "records.no-such-stage": _NO_SUCH % "a kind of stage",
    "records.no-such-treatment": _NO_SUCH % "a treatment of milk",
}
