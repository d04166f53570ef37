"""What a merge of two copies of a journal brings, and what a person has to look at, in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from journal.keeping.merged import Renamed, Stay, TwoValues
from journal.keeping.merging import Merge
from journal.wording.history import NONE, field_value_words, label
from journal.wording.letters import capital
from journal.wording.sentences import word_of, worded

_PARTS = {"stage", "gate", "dose", "care_rule", "stage_run", "serving", "panel_item"}


def came_words(found: Merge) -> list[str]:
    """What comes, changes and goes, a sentence each."""
    came = _counts(found.came) + _counts({"reading": found.readings, "photo": found.photos})
    sentences = [worded("wording.merge-new", came=came)] if came else []
    if found.changed:
        sentences.append(worded("wording.merge-changed", changed=_counts(found.changed)))
    if found.went:
        sentences.append(worded("wording.merge-deleted", went=_counts(found.went)))
    if found.marked:
        sentences.append(worded("wording.merge-marked", marked=found.marked))
    return sentences


def difference_words(one: TwoValues, zone: str) -> str:
    """What both wrote: what it is about, both values, and which stands."""
    both = both_words(one, zone)
    if one.hidden:
        return both
    return worded("wording.merge-stands", both=both, value=values_words(one, zone)[0])


def both_words(one: TwoValues, zone: str) -> str:
    """What both wrote, without what stands; of what is hidden, that it is."""
    if one.hidden:
        return worded("wording.merge-hidden")
    stands, other = values_words(one, zone)
    field = label(one.column)
    if one.column == "ph":  # the value says so itself
        which = "wording.merge-ph-here" if one.from_here else "wording.merge-ph-there"
    else:
        which = "wording.merge-both-here" if one.from_here else "wording.merge-both-there"
    return worded(which, about=about_words(one), field=field, stands=stands, other=other)


def about_words(one: TwoValues | Stay) -> str:
    """What a row is: "Weight of HL-0003-A"."""
    which = "wording.merge-record-of" if one.about else "wording.merge-record"
    return capital(worded(which, noun=one.noun, about=one.about))


def stay_words(one: Stay) -> str:
    """What stays though one side deleted it."""
    which = "wording.merge-stays-here" if one.deleted_here else "wording.merge-stays-there"
    return worded(which, about=about_words(one))


def renamed_words(one: Renamed) -> str:
    """What has a new code, as both gave it away."""
    which = "wording.merge-version" if one.noun == "plan" else "wording.merge-code"
    return worded(which, noun=one.noun, name=one.name, was=one.was, now=one.now)


def values_words(one: TwoValues, zone: str) -> tuple[str, str]:
    """What stands and the other, as the history writes them; as they are stored where these would
    read the same."""
    stands, other = (_either(one.column, value, zone) for value in (one.stands, one.other))
    if stands != other or one.stands == one.other:
        return stands, other
    return _either(one.column, one.stands, zone, True), _either(one.column, one.other, zone, True)


def _either(column: str, value: Any, zone: str, whole: bool = False) -> str:
    """A value of a column, a text whole and in quotation marks."""
    if isinstance(value, str) and value:
        return f"“{value}”"
    words = field_value_words(column, value, zone, whole=whole)
    return worded("wording.merge-nothing") if words == NONE else words


def _counts(rows: Mapping[str, int]) -> list[str]:
    """How many of each; parts of a plan and of a make where nothing else is."""
    whole = {noun: number for noun, number in rows.items() if noun not in _PARTS} or rows
    counts = {noun: number for noun, number in whole.items() if number}
    return [word_of("wording.many-", noun, number=number) for noun, number in counts.items()]
