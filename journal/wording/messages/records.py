"""The sentences of `records`."""

from __future__ import annotations

from journal.wording.messages.kinds import KINDS
from journal.wording.messages.plans import PLANS
from journal.wording.messages.typed import TYPED
from journal.wording.sentences import Messages

MESSAGES: Messages = {
    **KINDS,
    **PLANS,
    **TYPED,
}
