"""The sentences of `records`."""

from __future__ import annotations

from journal.wording.messages.kinds import KINDS
from journal.wording.messages.plans import PLANS
from journal.wording.sentences import Messages

MESSAGES: Messages = {
    **KINDS,
    **PLANS,
    "records.line-loose": "Line {line}: {why}",
    "records.milk-line-loose": "The line of the milk: {why}",
    "records.part-by-semicolon": "Part what is typed with “;” and not with a comma. {why}",
}
