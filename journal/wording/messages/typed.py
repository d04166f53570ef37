"""The sentences of `records` about what is typed into a plan's cells: what is offered, and
how a part was read."""

from __future__ import annotations

from journal.quantities.typed import Typed
from journal.records.kinds import READING_KINDS
from journal.wording.amounts import understood
from journal.wording.care import understood_ages, understood_care
from journal.wording.doses import amount_words, rate_words
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
CARE_LINE_OFFER = f"{CARE_OFFER} One line can say it all."


def _dose(values: Values) -> str:
    """A dose for the milk and for each litre, its kind where the name does not say it."""
    per_litre, unit = values["per_litre"], values["unit"]
    total = amount_words(per_litre * values["litres"], unit, spoons=values["spoons"])
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


TYPED: Messages = {
    "records.dose-is-amount": "“{text}” is a number and a unit: say what it is of. " + PARTS_OFFER,
    "records.dose-is-temperature": "“{text}” is a temperature: write it in the °C cell. "
    + PARTS_OFFER,
    "records.dose-is-time": (
        "“{text}” is a length of time: write it in the min cell, or ramp 40 min. " + PARTS_OFFER
    ),
    "records.dose-without-name": "Say what “{text}” is of: " + small(PARTS_OFFER),
    "records.no-care-named": "“{text}” names no care. " + CARE_OFFER,
    "records.part-not-understood": "“{text}” is not understood. " + PARTS_OFFER,
    "records.read-ages": understood_ages,
    "records.read-care": understood_care,
    "records.read-dose": _dose,
    "records.read-acid-target": _acid_target,
    "records.read-intervals": _intervals,
    "records.read-turns": _turns,
    "records.read-value": _value,
}
