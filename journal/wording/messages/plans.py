"""The sentences of `records` about plans: what they may hold, and plans as files."""

from __future__ import annotations

from journal.wording.sentences import Messages, Values
from journal.wording.stages import load_words

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

_OUTSIDE = "{value:g} %s is outside {low:g} to {high:g}."

# What a plan, its stages and their parts may say.
_BOUNDS: Messages = {
    "records.air-humidity": _OUTSIDE % "% humidity",
    "records.days-of-age": _OUTSIDE % "days of age",
    "records.gate-closes": _OUTSIDE % "min before an acid target ends",
    "records.gate-low": _OUTSIDE % "at an acid target's low end",
    "records.gate-opens": _OUTSIDE % "min before an acid target begins",
    "records.plan-floc-multiplier": _OUTSIDE % "times the flocculation time",
    "records.plan-milk-temperature": _OUTSIDE % "°C of milk as it comes",
    "records.plan-mould": _OUTSIDE % "mm of mould",
    "records.plan-protein-fat": _OUTSIDE % "of protein over fat",
    "records.plan-yield": _OUTSIDE % "% yield",
    "records.room-temperature": _OUTSIDE % "°C in a room",
    "records.stage-brine": _OUTSIDE % "% salt in brine",
    "records.stage-limit": _OUTSIDE % "°C per minute as a limit",
    "records.stage-pressure": _OUTSIDE % "kPa of pressure",
    "records.stage-ramp": _OUTSIDE % "min of ramp",
    "records.stage-size": _OUTSIDE % "mm of curd",
    "records.stage-tolerance": _OUTSIDE % "°C of tolerance",
    "records.stage-turns": _OUTSIDE % "turns",
    "records.stage-water-added": _OUTSIDE % "l of water for a litre of milk",
    "records.stage-water-temperature": _OUTSIDE % "°C of water",
    "records.stage-whey-drawn": _OUTSIDE % "l of whey drawn for a litre of milk",
}
_RECORDS: Messages = {
    "records.care-never-due": "The care “{kind}” never falls due: check its days.",
    "records.dose-amount": ("{per_litre:g} {unit} per litre of {name} is impossible."),
    "records.dose-unit": "A dose is in g or ml per litre, not in {unit}.",
    "records.first-slope-flat": (
        "A first slope must rise: give °C per minute and minutes above 0."
    ),
    "records.first-slope-half": "A first slope needs both its °C per minute and its minutes.",
    "records.first-slope-too-long": (
        "The first slope lasts {first:g} min and the whole ramp {ramp:g}: leave time "
        "after it, or remove it."
    ),
    "records.gate-high": (
        "The acid target's high end {high:g} must lie between its low end {low:g} and 14."
    ),
    "records.gate-never-open": (
        "The acid target begins at {opens:g} min, after it ends at {closes:g} min."
    ),
    "records.interval-of-nothing": "The time between two turns must be above 0 minutes.",
    "records.intervals-sum": (
        "The intervals add up to {total:g} min and the stage lasts {minutes:g}: make them equal."
    ),
    "records.plan-milk": (
        "The milk must be more than 0 and at most 10,000 litres, not {litres:g}."
    ),
    "records.plan-version": "The versions of a plan are counted from 1.",
    "records.plan-without-name": "A plan needs a name.",
    "records.plan-without-stage": "A plan needs at least one stage.",
    "records.pressure-is-greatest": (
        "The stage's pressure must be the highest of its parts, {kpa:g} kPa."
    ),
    "records.pressures-of-parts": (
        "{pressures} pressures are given for the {parts} parts of the stage: give each part one."
    ),
    "records.spoon-of-grams": "A spoon measures ml, and {name} is in {unit}.",
    "records.stage-minutes": ("The {kind} cannot last {minutes:g} min: check its length."),
    "records.stage-target": "{celsius:g} °C is not a temperature for milk or curd.",
    "records.turns-between-intervals": (
        "Between {intervals} intervals {between:|lies|lie} {between:turn|turns}, not {turns}."
    ),
}

_NO_TOML = (
    "This cannot be read as a plan: %s. Each line is key = value, with words and values with units "
    "in quotation marks."
)

# A plan's file: where a fault stands, and what it is.
_FILES: Messages = {
    "records.at-key": "{place}, key “{key}”",
    "records.at-line": "line {line}: {why}",
    "records.at-place": "{place}: {why}",
    "records.dose-of-another-unit": (
        "“{value}” is not a dose: its unit is g/l or ml/l, as in 0.02 g/l."
    ),
    "records.gate-is-no-table": "this is not a table; write it under [stage.gate].",
    "records.in-file": "{file}: {why}",
    "records.key-missing": "the key “{key}” is missing; give it a value.",
    "records.no-bare-number": (
        "“{value}” cannot be read as {what}: write a number without a unit, such as 2.5."
    ),
    "records.no-list": ("“{value}” is not a list: put the values between [ and ]."),
    "records.no-list-of-tables": ("this is not a list of tables; begin each with [[{path}]]."),
    "records.no-such-key": "there is no key “{key}”. There are: {known:commas}.",
    "records.no-such-plan": "There is no plan called “{name}”. There are: {known:commas}.",
    "records.no-text": "{value} is not text: put it in quotation marks.",
    "records.no-toml": _NO_TOML % "{message}",
    "records.no-toml-at-end": _NO_TOML % "{message} at its end",
    "records.no-toml-at-letter": _NO_TOML % "{message}, at letter {letter} of the line",
    "records.no-uuid": ("“{value}” is not a UUID: leave the key out and the plan gets a new one."),
    "records.no-whole-number": (
        "“{value}” cannot be read as {what}: write a whole number, such as 4."
    ),
    "records.no-yes-or-no": "“{value}” is neither yes nor no: write true or false.",
    "records.place-care": "care {number}",
    "records.place-dose": "{stage}, dose {number}",
    "records.place-gate": "{stage}, acid target",
    "records.place-plan": "plan",
    "records.place-stage": "stage {number}",
    "records.place-stage-named": "stage {number} ({name})",
    "records.plan-of-another-form": (
        "This plan is written in form {form}; this program reads form {known}. Open it with the "
        "newer program it came from."
    ),
    "records.value-of-another-unit": (
        "“{value}” cannot be read as {what}: its unit is one of {known:commas}, as in {example}."
    ),
    "records.value-too-large": ("“{value}” is too large for {what}; write it like {example}."),
    "records.value-without-unit": (
        "“{value}” cannot be read as {what}: write a number with a point, a space "
        "and a unit in quotation marks, such as {example}."
    ),
}

_EXAMPLES = "10:30, end 22:00, out of the press by 06:30, or start 8:00, out of the press by 6:30"

# A plan that is being written, and the day it is wished for.
_DRAFTS: Messages = {
    "records.draft-line": "“{text}” in line {line} is not understood: correct or clear it.",
    "records.draft-milk-line": (
        "“{text}” in the milk line is not understood: correct or clear it."
    ),
    "records.draft-without-name": "The plan has no name yet: give it one, then save it.",
    "records.draft-without-stage": "The plan has no stage yet: type one, such as warm.",
    "records.drafts-of-newer-program": (
        "These drafts were written by a newer program; open them with it."
    ),
    "records.drafts-unreadable": "The drafts of plans cannot be read: {message}.",
}
_DAYS: Messages = {
    "records.day-not-said": f"Say when it starts or ends: {_EXAMPLES}.",
    "records.day-too-early": ("{text} is too early: the plan cannot be finished by then."),
    "records.day-too-long": (
        "From {start:clock} there are {minutes:hours} to spare, more than the press and the drying "
        "may take: start later, or end earlier."
    ),
    "records.day-too-short": (
        "From {start:clock} it takes {minutes:hours} longer than that: start earlier, or end later."
    ),
    "records.day-without-ends": "A day needs a start or an end, such as 08:00 or end 22:00.",
    "records.no-day": f"“{{text}}” is not a time of day. Write {_EXAMPLES}.",
    "records.no-iso-date": "“{text}” is not a date. Write it like 2026-03-14.",
    "records.no-stage-called": "The plan has no stage called “{name}”. It has: {known:commas}.",
    "records.no-time-of-day": ("“{text}” is not a time of day. Write it like 10:30 or Sat 10:30."),
}


def _turn_then_load(values: Values) -> str:
    """A turn and the load after it, on the mould or as a pressure."""
    load = load_words(values["kpa"], values["load_kg"])
    return f"turn {values['turn']} of {values['turns']}, then {load}"


# What a plan leads to, and what is assumed.
_OUTCOMES: Messages = {
    "records.protein-guessed": (
        "Protein is assumed to be {protein:.1f} %, from the fat; the plan's yield is "
        "assumed to be for milk of {fat:g} % fat."
    ),
    "records.table-damaged": (
        "The program's own table “{name}” is damaged: install the program again."
    ),
    "records.turn": "turn {turn} of {turns}",
    "records.turn-then-load": _turn_then_load,
}

PLANS: Messages = {**_NOUNS, **_BOUNDS, **_RECORDS, **_FILES, **_DRAFTS, **_DAYS, **_OUTCOMES}
