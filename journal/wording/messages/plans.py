"""The sentences of `records` about plans: what they may hold, and plans as files."""

from __future__ import annotations

from journal.wording.sentences import Messages

# Nouns that stand within other sentences.
_NOUNS: Messages = {
    "records.noun-acidity": "acidity",
    "records.noun-age": "age",
    "records.noun-dose": "dose",
    "records.noun-length-of-time": "length of time",
    "records.noun-multiplier": "multiplier",
    "records.noun-percentage": "percentage",
    "records.noun-ph": "pH",
    "records.noun-pressure": "pressure",
    "records.noun-ratio": "ratio",
    "records.noun-share-of-milk": "share of the milk",
    "records.noun-size": "size",
    "records.noun-slope": "slope",
    "records.noun-temperature": "temperature",
    "records.noun-temperature-difference": "difference of temperature",
    "records.noun-turns": "number of turns",
    "records.noun-version": "version",
    "records.noun-volume": "volume",
}

_NO_TOML = (
    "This cannot be read as a plan: %s. Each line is key = value, words and values with units "
    "stand between quotation marks."
)

# A plan's file: where a fault stands, and what it is.
_FILES: Messages = {
    "records.at-key": "{place}, key “{key}”",
    "records.at-line": "line {line}: {why}",
    "records.at-place": "{place}: {why}",
    "records.dose-of-another-unit": (
        "“{value}” is no dose: its unit is g/l or ml/l, as in 0.02 g/l."
    ),
    "records.gate-is-no-table": "this is no table; write it under [stage.gate].",
    "records.in-file": "{file}: {why}",
    "records.key-missing": "the key “{key}” is missing; give it a value.",
    "records.no-bare-number": "“{value}” is no {what}: write a bare number, such as 2.5.",
    "records.no-list": "“{value}” is no list: put the values between [ and ].",
    "records.no-list-of-tables": "this is no list of tables; begin each with [[{path}]].",
    "records.no-such-key": "there is no key “{key}”. There are: {known:commas}.",
    "records.no-such-plan": "There is no plan called “{name}”. There are: {known:commas}.",
    "records.no-text": "{value} is no text: put it between quotation marks.",
    "records.no-toml": _NO_TOML % "{said}",
    "records.no-toml-at-end": _NO_TOML % "{said} at its end",
    "records.no-toml-at-letter": _NO_TOML % "{said}, at letter {letter} of the line",
    "records.no-uuid": "“{value}” is no UUID: leave the key out and the plan gets a fresh one.",
    "records.no-whole-number": "“{value}” is no {what}: write a whole number, such as 4.",
    "records.no-yes-or-no": "“{value}” is neither yes nor no: write true or false.",
    "records.place-care": "care {number}",
    "records.place-dose": "{stage}, dose {number}",
    "records.place-gate": "{stage}, gate",
    "records.place-plan": "plan",
    "records.place-stage": "stage {number}",
    "records.place-stage-named": "stage {number} ({name})",
    "records.plan-of-another-form": (
        "This plan is written in form {form}; this program reads form {known}. Open it with the "
        "newer program it came from."
    ),
    "records.value-of-another-unit": (
        "“{value}” is no {what}: its unit is one of {known:commas}, as in {example}."
    ),
    "records.value-too-large": "“{value}” is too large for a {what}; write it such as {example}.",
    "records.value-without-unit": (
        "“{value}” is no {what}: write a number with a point, a space and a unit between "
        "quotation marks, such as {example}."
    ),
}

PLANS: Messages = {**_NOUNS, **_FILES}
