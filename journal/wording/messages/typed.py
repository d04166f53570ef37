"""The sentences of `records` about what is typed into a plan's cells: understood, or not."""

from __future__ import annotations

from journal.quantities.typed import Typed
from journal.records.dose_written import format_measured
from journal.records.kinds import READING_KINDS
from journal.wording.amounts import understood
from journal.wording.care import understood_ages, understood_care
from journal.wording.doses import rate_words
from journal.wording.letters import small
from journal.wording.sentences import Messages, Values
from journal.wording.shown import write

PARTS_OFFER = (
    "Write parts such as rennet 2.4 ml; 10 mm; curd pH 5.3 to 5.4; 20 lb; turn 4 times; "
    "press 10, 10, 15 min; draw 3 L; water 2 L at 60 °C; first 0.2 °C/min for 15 min; "
    "limit 0.4 °C/min; brine 20 %."
)

CARE_OFFER = (
    "Write care such as air dry 2 to 3 days at 16 °C; bandage day 3; turn weekly from 2 weeks; "
    "taste at 3 and 6 months; eat from 6 months. A month is 30.4 days."
)

# What was not understood, and what would do.
_REFUSED: Messages = {
    "records.acidity-of-curd": (
        "Acidity is read of milk or of whey: write whey acidity 0.18 to 0.2 %."
    ),
    "records.age-line-has-days-alone": (
        "A line to {kind} has no temperature or air, and one to eat no note: write it on a line of "
        "care."
    ),
    "records.taste-notes": "Each of the {ages} ages to taste at has a note, or none has.",
    "records.age-without-unit": "Say what “{text}” is: days, weeks or months.",
    "records.ages-not-understood": (
        "“{text}” is no age: write it like 60 days, 6 weeks or 3 and 6 months."
    ),
    "records.ages-of-line": "A line to {kind} needs its age; one to eat has one alone.",
    "records.bare-number": ("Say what {text} is: 10 mm, 9 kg, 5 kPa, or a dose such as salt 30 g."),
    "records.bare-percent": (
        "Say what {text} is: salt {text}, culture {text}, or humidity {text}."
    ),
    "records.care-given-once": "To {kind} is done once: write the day alone, such as day 3.",
    "records.care-without-name": (
        "Start the line with its care: air dry, turn, bandage, wax, weigh, taste and so on."
    ),
    "records.culture-is-at-a-stage": (
        "The culture is added at one of the stages: take it out there."
    ),
    "records.dose-is-amount": (
        "“{text}” is a number and a unit: say what it is of. " + PARTS_OFFER
    ),
    "records.dose-is-temperature": (
        "“{text}” is a temperature: write it in the °C cell. " + PARTS_OFFER
    ),
    "records.dose-is-time": (
        "“{text}” is a length of time: write it in the min cell, or ramp 40 min. " + PARTS_OFFER
    ),
    "records.dose-of-nothing": (
        "“{text}”: an amount must be more than nothing, such as rennet 2.4 ml."
    ),
    "records.dose-without-name": ("Say what “{text}” is of: " + small(PARTS_OFFER)),
    "records.first-slope-without-length": (
        "A first slope needs its length: write first 0.2 °C/min for 15 min, or first "
        "1 °C per 5 min for 15 min."
    ),
    "records.line-loose": "Line {line}: {why}",
    "records.line-without-stage": (
        "Start the line with its stage: warm, ripen, set, cut, cook and so on."
    ),
    "records.load-without-mould": (
        "What a weight presses with depends on the mould, and the plan has no mould: "
        "set the mould, or write the pressure, such as 5 kPa."
    ),
    "records.loads-of-some-parts": "Give each part of “{text}” its load, or none.",
    "records.milk-line-loose": "The milk line: {why}",
    "records.milk-part-not-understood": (
        "“{text}” is not understood here. Write cow; pasteurised; mesophilic; yield 10 %; "
        "floc × 3; mould 150 mm; room 11 °C; room humidity 85 %."
    ),
    "records.no-care-named": "“{text}” names no care. " + CARE_OFFER,
    "records.no-gate": ("“{text}” is not an acid target: write it like curd pH 5.3 to 5.4."),
    "records.no-stage-named": (
        "Say which stage it is: {known:commas}; or with a name of its own, such as ripen: culture "
        "in."
    ),
    "records.part-by-semicolon": "Separate the parts with “;”, not with a comma. {why}",
    "records.part-not-understood": "“{text}” is not understood. " + PARTS_OFFER,
    "records.percent-of-what": (
        "A percentage is of salt (of the curd) or of a bulk starter (of the milk)."
    ),
    "records.said-of-the-plan": ("“{text}” applies to the whole plan: write it in the milk line."),
    "records.slope-of-no-time": "A slope needs a time: write it like 1 °C per 5 min.",
    "records.turn-beyond-stage": ("The stage is {minutes:duration} long: turn within that time."),
    "records.turn-not-understood": (
        "“turn {text}” is not understood: write turn 4 times, or turn after 10, 10, 15 min."
    ),
    "records.unit-after-ph": "“{text}” is not understood after a pH.",
    "records.when-not-understood": (
        "“{text}” is not understood as days: write day 3; from 2 weeks, weekly; 2 to 3 days; "
        "day 1 to 14, daily; twice a day; every other day; once."
    ),
}


def _dose(values: Values) -> str:
    """A dose for the milk and for each litre, its kind where the name does not say it."""
    per_litre, unit = values["per_litre"], values["unit"]
    total = format_measured(per_litre * values["litres"], unit, spoons=values["spoons"])
    parts = [f"{values['name']} {total}", values["kind"], rate_words(per_litre, unit)]
    parts.append("a new ingredient" if values["new"] else "")
    return ", ".join(part for part in parts if part)


def _acid_target(values: Values) -> str:
    label = READING_KINDS[values["kind"]].label
    return f"acid target: {label} {values['low']:g} to {values['high']:g}"


def _intervals(values: Values) -> str:
    turns = "one turn" if values["turns"] == 1 else f"{values['turns']} turns"
    return f"{turns} between, {write(values['minutes'], 'duration')} in all"


def _turns(values: Values) -> str:
    times = "once" if values["turns"] == 1 else f"{values['turns']} times"
    return f"turn {times}, not counting the end of the stage"


def _value(values: Values) -> str:
    """A value in the unit that is stored: "88 °F is 31.1 °C"."""
    return understood(Typed(values["value"], values["unit"], values["kept"], values["quantity"]))


# How a part was read, in words beside its cell.
_READ: Messages = {
    "records.read-ages": understood_ages,
    "records.read-alone": "may be left alone",
    "records.read-brine": "a brine of {percent:g} %",
    "records.read-care": understood_care,
    "records.read-dose": _dose,
    "records.read-first-slope": "at first {c_per_min:.3g} °C/min, for {minutes:duration}",
    "records.read-gate": _acid_target,
    "records.read-intervals": _intervals,
    "records.read-length": "{minutes:duration}",
    "records.read-limit": "at most {c_per_min:.3g} °C/min",
    "records.read-load": "{kg:.1f} kg on {mould:size} is {kpa:.1f} kPa",
    "records.read-name": "a {kind} called “{name}”",
    "records.read-no-temperature": "no temperature is set here",
    "records.read-pressure": "{kg:.1f} kg on {mould:size}",
    "records.read-ramp": "to its temperature in {minutes:duration}",
    "records.read-size": "{mm:g} mm",
    "records.read-tolerance": "within {celsius:.3g} °C either side",
    "records.read-turns": _turns,
    "records.read-value": _value,
    "records.read-warm-water": "{litres:volume.1} of water at {celsius:temperature.1}",
    "records.read-water": "{litres:volume.1} of water",
    "records.read-whey-drawn": "{litres:volume.1} of whey, {percent:.0f} % of the milk",
}

TYPED: Messages = {**_REFUSED, **_READ}
