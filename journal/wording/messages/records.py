"""The sentences of `records`."""

from __future__ import annotations

from journal.wording.messages.days import DAYS
from journal.wording.messages.kinds import KINDS
from journal.wording.messages.nouns import NOUNS
from journal.wording.messages.plans import PLANS
from journal.wording.messages.typed import TYPED
from journal.wording.sentences import Messages

_VERDICTS: Messages = {
    "records.rim": "A rim is its middle and its radius, which is more than zero.",
    "records.verdict-unreadable": "Do not eat this cheese: that was said of it, and why can no "
    "longer be read in the journal.",
}

MESSAGES: Messages = {
    **_VERDICTS,
    **DAYS,
    **KINDS,
    **NOUNS,
    **PLANS,
    **TYPED,
}
