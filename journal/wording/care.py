"""The care of a wheel in words: a rule, ages to taste or eat at, and what was made of one typed."""

from __future__ import annotations

from collections.abc import Sequence

from journal.records.care_written import EAT, AgeLine, CareLine, number, pace_text
from journal.records.plans import CareRule, Plan
from journal.wording.letters import capital, small
from journal.wording.sentences import Values, word_of, worded
from journal.wording.shown import temperature, write

# What a menu offers for each kind of care, read like anything typed.
CARE_PHRASES = {
    "dry": ("air dry 1 day at 16 °C", "air dry 2 to 3 days at 16 °C",
            "air dry 3 to 5 days at 13 °C"),
    "turn": ("turn twice a day for 3 days", "turn daily for 2 weeks", "turn every other day",
             "turn twice a week", "turn weekly"),
    "rub": ("rub with 3 % brine every other day for 4 weeks", "rub weekly"),
    "brush": ("brush weekly from 2 weeks", "brush weekly from 2 months"),
    "oil": ("oil weekly", "oil monthly"),
    "bandage": ("bandage with cloth and fat",),
    "wax": ("wax with two coats",),
    "pierce": ("pierce day 8 to 9", "pierce day 30 to 31"),
    "wrap": ("wrap day 12 to 13", "wrap at 3 months"),
    "move": ("move day 13 to 6 °C", "move at 30 days to 6 °C", "move at 3 months to 4 °C"),
    "weigh": ("weigh day 1", "weigh weekly", "weigh monthly"),
    "taste": ("taste at 3, 4 and 5 weeks", "taste at 4, 6 and 8 weeks",
              "taste at 2, 4 and 6 months", "taste at 3 and 6 months",
              "taste at 3, 6 and 9 months"),
    "eat": ("eat from 3 days", "eat from 3 weeks", "eat from 4 weeks", "eat from 2 months",
            "eat from 3 months", "eat from 6 months", "eat from 12 months"),
}  # fmt: skip


def care_name(kind: str) -> str:
    """A kind of care as a person says it: "air dry"."""
    return word_of("wording.care-", kind)


def care_act_words(kind: str) -> str:
    """What the main button says for a thing a wheel needs."""
    if kind == "weigh":
        return worded("wording.weigh-it")
    which = "wording.taste-it" if kind == "taste" else "wording.care-done"
    return worded(which, care=care_name(kind))


def care_words(rule: CareRule) -> str:
    """A rule of care as a sentence: "Turn from day 1 to 14, daily."."""
    return f"{capital(understood_care(_values(rule)))}."


def age_line_words(line: AgeLine) -> str:
    """When to taste or to eat as a sentence: "Taste on day 91 and 183."."""
    return f"{capital(understood_ages(vars(line)))}."


def care_line_words(line: CareLine) -> str:
    """A line of care as a sentence."""
    return age_line_words(line) if isinstance(line, AgeLine) else care_words(line)


def understood_care(values: Values) -> str:
    """A rule by its values: "turn from day 4 on, weekly: look at the underside"."""
    first, last = number(values["first"]), number(values["last"])
    note = values["note"].strip().rstrip(".")
    when = {
        "care": care_name(values["kind"]), "first": first, "last": last, "air": _air(values),
        "note": f": {small(note)}" if note else "", "pace": pace_text(values["every"]),
    }  # fmt: skip
    if values["kind"] == "dry" and values["last"] - values["first"] >= values["every"]:
        return worded("wording.care-from-for", long=_length(values), **when)
    if values["once"]:
        return worded("wording.care-on" if first == last else "wording.care-once", **when)
    return worded("wording.care-from-on" if values["goes_on"] else "wording.care-from-to", **when)


def understood_ages(values: Values) -> str:
    """Ages by their values: "taste on day 91 and 183: with the trier", "eat from day 183"."""
    days = [number(day) for day in values["days"]]
    note = f": {values['note']}" if values["note"] else ""
    which = "wording.eat-from" if values["kind"] == EAT else "wording.taste-on"
    return worded(which, days=days, note=note)


def understood_lines(lines: Sequence[CareLine]) -> str:
    """What was made of lines that were typed, one after another."""
    return " · ".join(
        understood_ages(vars(line)) if isinstance(line, AgeLine) else understood_care(_values(line))
        for line in lines
    )


def lines_words(lines: Sequence[CareLine]) -> str:
    """Lines of care, a sentence each."""
    return " ".join(care_line_words(line) for line in lines)


def _values(rule: CareRule) -> Values:
    return {
        "kind": rule.kind, "first": rule.from_day, "last": rule.to_day, "every": rule.every_days,
        "once": rule.once, "goes_on": rule.goes_on, "celsius": rule.room_c,
        "percent": rule.room_humidity_pct, "note": rule.note,
    }  # fmt: skip


def _length(values: Values) -> str:
    least, most = values["every"], values["last"] - values["first"]
    if least == most:
        return worded("wording.care-days", days=number(least), number=least)
    return worded("wording.care-days-between", least=number(least), most=number(most))


def _degrees(celsius: float) -> str:
    return write(celsius, "temperature", digits=1)


def _air(values: Values) -> str:
    parts = [
        text(value)
        for text, value in ((_degrees, values["celsius"]), ("{:g} %".format, values["percent"]))
        if value is not None
    ]
    which = "wording.care-air-to" if values["kind"] == "move" else "wording.care-air-at"
    return worded(which, air=parts) if parts else ""


def room_words(plan: Plan) -> str:
    parts = [temperature(plan.room_c)] if plan.room_c is not None else []
    parts += [f"{plan.room_humidity_pct:g} %"] if plan.room_humidity_pct is not None else []
    return worded("wording.the-room", air=parts) if parts else ""
