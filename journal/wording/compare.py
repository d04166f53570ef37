"""What was different, in words and numbers: facts with their units, where a curve left others."""

from __future__ import annotations

from collections.abc import Sequence

from journal.curves.leaving import Departure
from journal.findings.different import LEAST, Different, Fact, standing_out
from journal.keeping import MakeRow
from journal.message import Message
from journal.records.kinds import READING_KINDS
from journal.wording.dates import short_day
from journal.wording.durations import from_start
from journal.wording.letters import capital
from journal.wording.numbers import number
from journal.wording.readings import value_text
from journal.wording.sentences import listed, worded
from journal.wording.shown import apart as difference_text
from journal.wording.shown import figure, unit_ahead, unit_behind, unit_shown

_DIGITS = {"min": 0, "°C": 1, "pH": 2, "°C/min": 2, "l": 1, "°C·min": 0, "%": 2, "mm": 0,
           "% of milk": 0, "days": 0, "kPa": 1, "kg": 2, "kg/100 L": 1}  # fmt: skip
_DOSE_DIGITS = 3


def fact_text(fact: Fact) -> str:
    """A fact's value with its unit: "57 min", "+21 min" for a delay, "pH 6.35", "goat"."""
    return fact.kind or _with_unit(fact, fact.value)


def range_text(row: Different) -> str:
    """What is usual: "usual 41 to 49", "usually cow"."""
    if row.fact.kind:
        return worded("wording.compare-usually", kind=row.usual_kind) if row.usual_kind else ""
    if row.usual is None:
        return ""
    if row.spread is None:
        return worded("wording.compare-median", value=_number(row.fact, row.usual))
    never_below = 0.0 if row.fact.theme != "delay" and row.usual >= 0 else -float("inf")
    low, high = (_number(row.fact, max(end, never_below)) for end in (row.low, row.high))
    which = "wording.compare-usual" if low == high else "wording.compare-usual-between"
    return worded(which, low=low, high=high)


def different_text(row: Different) -> str:
    """One sentence: "Set took 57 min, usual 41 to 49."."""
    usual = range_text(row)
    which = "wording.compare-fact-usual" if usual else "wording.compare-fact"
    return worded(which, what=row.fact.what, value=fact_text(row.fact), usual=usual)


def how_many_text(rows: Sequence[Different], others: int) -> str:
    """The line under the heading: how many things were unusual, and against how many makes."""
    if not others:
        return worded("wording.compare-nothing")
    if others < LEAST:
        return worded("wording.compare-three")
    judged = sum(row.z is not None for row in rows)
    if not judged:
        return worded("wording.compare-too-few-readings")
    unusual = len(standing_out(rows))
    which = "wording.compare-unusual" if unusual else "wording.compare-all-usual"
    return worded(which, judged=judged, unusual=unusual, others=others)


def by_chance_text(rows: Sequence[Different]) -> str:
    """How many of the facts chance alone would call unusual."""
    judged = sum(row.z is not None for row in rows)
    unusual = sum(row.unusual and row.z is not None for row in rows)
    return worded("wording.compare-by-chance", judged=judged, unusual=unusual, chance=judged / 100)


def compare_heading(
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
        return worded("wording.compare-failed", code=code)
    parts = [_delay(row) for row in rows if row.unusual and row.fact.theme == "delay"]
    if temp is not None and not temp[0].as_usual:
        parts.append(_warm(*temp, first=not parts))
    if acid is not None and not acid[0].as_usual:
        parts.append(_soured(acid[0]))
    if parts:
        which = "wording.compare-one" if len(parts) == 1 else "wording.compare-two"
        return worded(which, code=code, one=parts[0], other=parts[:2][-1])
    names = [row.fact.what for row in standing_out(rows, 2)]
    if names:
        return worded("wording.compare-differed", code=code, names=names)
    if any(row.z is not None for row in rows):
        return worded("wording.compare-as-usual", code=code)
    return code


def curve_name(kind: str) -> str:
    """ "temperature", "curd pH"."""
    is_milk = kind == "milk-temp"
    return worded("reckoning.temperature") if is_milk else READING_KINDS[kind].label


def departures_text(found: Sequence[tuple[Departure, str, str]]) -> list[str]:
    """Where the curves left the others, or that they did not, with the error that is said with.
    `found` are departures with the stage and what was read."""
    usual = [curve_name(kind) for departure, _, kind in found if departure.as_usual]
    out = [_left_text(*one) for one in found if not one[0].as_usual]
    if usual:
        names = capital(listed(usual))
        out.append(worded("wording.compare-curves-usual", names=names, count=len(usual)))
    return out


def _left_text(found: Departure, stage: str, kind: str) -> str:
    size, chance = abs(found.apart), f"{100 * found.chance:.1f} %"
    return worded(
        "wording.compare-left-above" if found.apart > 0 else "wording.compare-left-below",
        name=curve_name(kind),
        stage=stage,
        begin=from_start(found.from_position),
        end=from_start(found.to_position),
        apart=difference_text(size) if kind == "milk-temp" else value_text(kind, size),
        chance=Message("wording.compare-under-a-thousandth") if found.chance < 0.001 else chance,
    )


def left_where_text(code: str, why: str, found: Sequence[tuple[Departure, str, str]]) -> str:
    """Of a make that failed: why, and where it left the others first. `found` are departures with
    the stage and what was read."""
    first = min((f for f in found if not f[0].as_usual), key=_first_position, default=None)
    reason = why or Message("wording.compare-no-reason", code=code)
    if first is None:
        return worded("wording.compare-usual-until-failed", reason=reason)
    name = curve_name(first[2])
    return worded("wording.compare-left-first", stage=first[1], name=name, reason=reason)


def left_out_text(codes: Sequence[str], moment: str) -> str:
    """Which of the other makes never reached the moment, "" for none."""
    if not codes:
        return ""
    many = len(codes) > 4
    which = "wording.compare-many-left-out" if many else "wording.compare-left-out"
    return worded(which, codes=codes, count=len(codes), moment=moment)


def moment_text(key: str, label: str) -> str:
    """A moment as it is called: "start", "rennet in", "cook begins"."""
    return worded(_MOMENTS.get(key, "wording.moment-begins"), stage=label)


_MOMENTS = {
    "start": "wording.moment-start", "set": "wording.moment-set", "cut": "wording.moment-cut",
}  # fmt: skip


def _first_position(found: tuple[Departure, str, str]) -> float:
    return found[0].first_position


def _delay(row: Different) -> Message:
    late = (row.z or 0) > 0
    return Message("wording.compare-ran-late" if late else "wording.compare-ran-early")


def _warm(found: Departure, stage: str, *, first: bool) -> Message:
    """Too warm or too cold; as the `first` thing that is said, with its verb."""
    if found.apart > 0:
        which = "wording.compare-was-warm" if first else "wording.compare-warm"
    else:
        which = "wording.compare-was-cold" if first else "wording.compare-cold"
    return Message(which, stage=stage)


def _soured(found: Departure) -> Message:
    slowly = found.apart > 0
    return Message("wording.compare-soured-slowly" if slowly else "wording.compare-soured-fast")


def _with_unit(fact: Fact, value: float) -> str:
    text = _number(fact, value)
    if fact.what.id == "findings.fact-acid-gain":
        return f"{text} {fact.unit}"
    return f"{unit_ahead(fact.unit)}{text}{unit_behind(unit_shown(fact.unit))}"


def _number(fact: Fact, value: float) -> str:
    """The bare number, with its sign where it is a delay."""
    digits = _DOSE_DIGITS if fact.theme == "dose" else _DIGITS.get(fact.unit, 2)
    shown = figure(value, fact.unit, digits)
    return number(shown.value, shown.digits, sign=fact.theme == "delay")


def plan_and_day(row: MakeRow) -> str:
    """Its plan and its day."""
    return f"{row.plan}, {short_day(row.started_ms, row.zone)}"


def score_words(score: float | None) -> str:
    which = "wording.compare-not-scored" if score is None else "wording.compare-score"
    return worded(which, score=score)
