"""The sentences of `reckoning` that no template can write."""

from __future__ import annotations

from journal.wording.sentences import Messages, Values, text_of


def _not_above(values: Values) -> str:
    low, found = _figure(values, "low"), _figure(values, "found")
    return f"The {text_of(values['what'])} must be more than {low}, not {found}."


def _not_at_least(values: Values) -> str:
    low, found = _figure(values, "low"), _figure(values, "found")
    return f"The {text_of(values['what'])} must be {low} or more, not {found}."


def _not_within(values: Values) -> str:
    what, low = text_of(values["what"]), values["low"]
    high, found = _figure(values, "high"), _figure(values, "found")
    return f"The {what} must lie between {low:g} and {high}, not at {found}."


def _figure(values: Values, name: str) -> str:
    """A number with the unit of its message, which may have none."""
    value = values[name]
    return "nothing" if value is None else f"{value:g} {values['unit']}".rstrip()


MESSAGES: Messages = {
    "reckoning.not-above": _not_above,
    "reckoning.not-at-least": _not_at_least,
    "reckoning.not-within": _not_within,
}
