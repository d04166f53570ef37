"""The sentences of `findings`."""

from __future__ import annotations

from journal.wording.sentences import Messages

MESSAGES: Messages = {
    "findings.values-apart": "These values do not go together: {why}",
}
