"""The sentences of `curves`."""

from __future__ import annotations

from journal.wording.sentences import Messages

MESSAGES: Messages = {}
