"""The sentences of `findings` that no template can write: a variable's word goes by its key."""

from __future__ import annotations

from journal.wording.sentences import Messages, Values, word_of


def _plan_variable(values: Values) -> str:
    """What a plan changes, in words, by the key of the make variable."""
    return word_of("wording.lever-", values["key"])


MESSAGES: Messages = {"findings.lever": _plan_variable}
