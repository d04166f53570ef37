"""What was different, in words and numbers: facts with their units, where a curve left others."""

from __future__ import annotations

from collections.abc import Sequence

from journal.curves.leaving import Departure
from journal.findings.different import LEAST, Different, Fact, standing_out
from journal.keeping import MakeRow
from journal.records.kinds import READING_KINDS
from journal.wording import text_of
from journal.wording.counts import count, count_first, counted, listed
from journal.wording.dates import short_day
from journal.wording.durations import elapsed
from journal.wording.letters import capital
from journal.wording.numbers import number
from journal.wording.readings import value_text
from journal.wording.shown import apart as difference_text
from journal.wording.shown import figure, unit_shown

_DIGITS = {"min": 0, "°C": 1, "pH": 2, "°C/min": 2, "l": 1, "°C·min": 0, "%": 2, "mm": 0,
           "% of milk": 0, "days": 0, "kPa": 1, "kg": 2, "kg/100 L": 1}  # fmt: skip
_DOSE_DIGITS = 3


def fact_text(fact: Fact) -> str:
    """A fact's value with its unit: "57 min", "+21 min" for a delay, "pH 6.35", "goat"."""
    return fact.kind or _with_unit(fact, fact.value)


def range_text(row: Different) -> str:
    """What is usual: "usual 41 to 49", "usually cow"."""
    if row.fact.kind:
        return f"usually {row.usual_kind}" if row.usual_kind else ""
    if row.usual is None:
        return ""
    if row.spread is None:
        return f"median {_number(row.fact, row.usual)}"
    never_below = 0.0 if row.fact.theme != "delay" and row.usual >= 0 else -float("inf")
    low, high = (_number(row.fact, max(end, never_below)) for end in (row.low, row.high))
    return f"usual {low}" if low == high else f"usual {low} to {high}"


def different_text(row: Different) -> str:
    """One sentence: "Set took 57 min, usual 41 to 49."."""
    name = text_of(row.fact.what)
    sentence = f"{capital(name)} {fact_text(row.fact)}"
    usual = range_text(row)
    return f"{sentence}, {usual}." if usual else f"{sentence}."


def how_many_text(rows: Sequence[Different], others: int) -> str:
    """The line under the heading: how many things were unusual, and against how many makes."""
    if not others:
        return "There is nothing to compare it with yet."
    if others < LEAST:
        return "Choose at least three makes to compare with."
    judged = sum(row.z is not None for row in rows)
    if not judged:
        return "There are too few readings in these makes to say what was unusual."
    unusual = len(standing_out(rows))
    among = counted(others, "other make")
    if not unusual:
        return f"All {judged} facts were as usual beside {among}."
    things = "thing was" if unusual == 1 else "things were"
    return f"{count_first(unusual)} {things} unusual beside {among}."


def by_chance_text(rows: Sequence[Different]) -> str:
    """How many of the facts chance alone would call unusual."""
    judged = sum(row.z is not None for row in rows)
    unusual = sum(row.unusual and row.z is not None for row in rows)
    chance = judged / 100
    return (
        f"Of {counted(judged, 'fact')} {count(unusual)} lie{'s' * (unusual == 1)} far out; by "
        f"chance alone about {chance:.1f} would."
    )


def heading(
    code: str,
    failed: bool,
    rows: Sequence[Different],
    temp: tuple[Departure, str] | None,
    acid: tuple[Departure, str] | None,
) -> str:
    """The sentence that stands first: "HL-0031 ran late, and warm in the cook.".

    `temp` and `acid` are where it left the others, with the stage it was in; None where nothing
    can be said.
    """
    if failed:
        return f"{code} failed."
    parts = [_delay_word(row) for row in rows if row.unusual and row.fact.theme == "delay"]
    if temp is not None and not temp[0].as_usual:
        warm = "warm" if temp[0].apart > 0 else "cold"
        parts.append(f"{'was ' * (not parts)}{warm} in the {temp[1]}")
    if acid is not None and not acid[0].as_usual:
        parts.append(_acid_word(acid[0]))
    if parts:
        return f"{code} {', and '.join(parts[:2])}."
    names = [text_of(row.fact.what) for row in standing_out(rows, 2)]
    if names:
        return f"{code} differed in {listed(names)}."
    if any(row.z is not None for row in rows):
        return f"{code} was as usual."
    return code


def curve_name(kind: str) -> str:
    """ "temperature", "curd pH"."""
    return "temperature" if kind == "milk-temp" else READING_KINDS[kind].label


def departures_text(found: Sequence[tuple[Departure, str, str]]) -> list[str]:
    """Where the curves left the others, or that they did not, with the error that is said with.
    `found` are departures with the stage and what was read."""
    usual = [curve_name(kind) for departure, _, kind in found if departure.as_usual]
    out = [_left_text(*one) for one in found if not one[0].as_usual]
    if usual:
        verb = "was" if len(usual) == 1 else "were"
        out.append(
            f"{capital(listed(usual))} {verb} as usual all day. (Of days that are as usual, this "
            "takes one in 20 for unusual.)"
        )
    return out


def _left_text(found: Departure, stage: str, kind: str) -> str:
    name = capital(curve_name(kind))
    span = f"{elapsed(found.from_place)} to {elapsed(found.to_place)}"
    size = abs(found.apart)
    apart = difference_text(size) if kind == "milk-temp" else value_text(kind, size)
    more = "above" if found.apart > 0 else "below"
    chance = "less than 0.1 %" if found.chance < 0.001 else f"{100 * found.chance:.1f} %"
    return (
        f"{name} left the others in the {stage}, {span}: {apart} {more} their mean "
        f"(by chance alone in {chance} of days)."
    )


def left_where_text(code: str, why: str, found: Sequence[tuple[Departure, str, str]]) -> str:
    """Of a make that failed: why, and where it left the others first. `found` are departures with
    the stage and what was read."""
    first = min((f for f in found if not f[0].as_usual), key=_first_place, default=None)
    reason = why or f"{code} failed; nobody noted why."
    if first is None:
        return f"Until it failed, its curves were as those of the others. {reason}"
    name = curve_name(first[2])
    return f"It left the others first in the {first[1]}, by its {name}. {reason}"


def left_out_text(codes: Sequence[str], moment: str) -> str:
    """Which of the other makes never reached the moment, "" for none."""
    if not codes:
        return ""
    listed = codes[0] if len(codes) == 1 else f"{', '.join(codes[:-1])} and {codes[-1]}"
    if len(codes) > 4:
        listed = counted(len(codes), "make")
    verb = "is" if len(codes) == 1 else "are"
    return f"{listed} never reached “{moment}” and {verb} left out."


def moment_text(key: str, label: str) -> str:
    """A moment as it is called: "start", "rennet in", "cook begins"."""
    named = {"start": "start", "set": "rennet in", "cut": "cut"}
    return named.get(key) or f"{label} begins"


def _first_place(found: tuple[Departure, str, str]) -> float:
    return found[0].first_place


def _delay_word(row: Different) -> str:
    return "ran late" if (row.z or 0) > 0 else "ran early"


def _acid_word(found: Departure) -> str:
    return "soured slowly" if found.apart > 0 else "soured fast"


def _with_unit(fact: Fact, value: float) -> str:
    text = _number(fact, value)
    if fact.what.id == "findings.fact-acid-gain":
        return f"{text} {fact.unit}"
    if fact.unit == "pH":
        return f"pH {text}"
    return f"{text} {unit_shown(fact.unit)}".rstrip()


def _number(fact: Fact, value: float) -> str:
    """The bare number, with its sign where it is a delay."""
    digits = _DOSE_DIGITS if fact.theme == "dose" else _DIGITS.get(fact.unit, 2)
    shown = figure(value, fact.unit, digits)
    return number(shown.value, shown.digits, sign=fact.theme == "delay")


def about_words(row: MakeRow) -> str:
    """Its plan and its day."""
    return f"{row.plan}, {short_day(row.started_ms, row.zone)}"


def score_words(score: float | None) -> str:
    return "not scored" if score is None else f"score {score:.1f}"
