"""What a merge of two copies of a journal brings, and what a person has to look at, in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from journal.keeping.merged import Renamed, Stay, TwoValues
from journal.keeping.merging import Merge
from journal.wording.counts import counted, listed
from journal.wording.history import NONE, label, value_words
from journal.wording.letters import capital
from journal.wording.record_words import record_word

_MANY = {
    "person": "people",
    "series": "series",
    "care of a wheel": "acts of care",
    "choice of other makes": "choices of other makes",
}
_PARTS = {"stage", "gate", "dose", "care_rule", "stage_run", "serving", "panel_item"}


def came_words(found: Merge) -> list[str]:
    """What comes, changes and goes, a sentence each."""
    came = [*_counts(found.came), *_some(found.readings, "reading"), *_some(found.photos, "photo")]
    sentences = [
        f"New: {listed(came)}." if came else "",
        f"Changed: {listed(_counts(found.changed))}." if found.changed else "",
        f"Deleted: {listed(_counts(found.went))}." if found.went else "",
        f"Struck out, let stand or removed: {counted(found.marked, 'reading')}."
        if found.marked else "",
    ]  # fmt: skip
    return [sentence for sentence in sentences if sentence]


def difference_words(one: TwoValues, zone: str) -> str:
    """What both wrote: what it is about, both values, and which stands."""
    if one.hidden:
        return both_words(one, zone)
    return f"{both_words(one, zone)} {capital(values_words(one, zone)[0])} stands."


def both_words(one: TwoValues, zone: str) -> str:
    """What both wrote, without what stands; of what is hidden, that it is."""
    if one.hidden:
        return "Both changed a session or test that is hidden."
    where = ("this journal", "the other copy")
    here, there = where if one.from_here else where[::-1]
    stands, other = values_words(one, zone)
    field = label(one.column)
    field = f"{field} is" if field != "pH" else "it is"  # the value says so itself
    return f"{about_words(one)}: {field} {stands} in {here} and {other} in {there}."


def about_words(one: TwoValues | Stay) -> str:
    """What a row is: "Weight of HL-0003-A"."""
    return capital(f"{record_word(one.noun)} of {one.about}" if one.about else
                   f"a {record_word(one.noun)}")  # fmt: skip


def stay_words(one: Stay) -> str:
    """What stays though one side deleted it."""
    where = ("here", "in the other copy")
    gone, kept = where if one.deleted_here else where[::-1]
    return f"{about_words(one)} stays: it was deleted {gone}, and changed or needed {kept}."


def renamed_words(one: Renamed) -> str:
    """What has a new code, as both gave it away."""
    if one.noun == "plan":
        return f"Both had version {one.was} of {one.name}. The later one is version {one.now} now."
    return f"Both had {record_word(one.noun)} {one.was}. The later one is {one.now} now."


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
    words = value_words(column, value, zone, whole=whole)
    return "nothing" if words == NONE else words


def _counts(rows: Mapping[str, int]) -> list[str]:
    """How many of each; parts of a plan and of a make where nothing else is."""
    whole = {noun: number for noun, number in rows.items() if noun not in _PARTS} or rows
    return [counted(number, record_word(noun), _many(noun)) for noun, number in whole.items()]


def _some(number: int, word: str) -> list[str]:
    return [counted(number, word)] if number else []


def _many(noun: str) -> str:
    """The plural: its first word's, where more follow ("stays in a brine")."""
    word = record_word(noun)
    if word in _MANY:
        return _MANY[word]
    for joint in (" of ", " in ", " on ", " used"):
        head, found, rest = word.partition(joint)
        if found:
            return f"{head}s{found}{rest}"
    return word if word.endswith("s") else f"{word}s"
