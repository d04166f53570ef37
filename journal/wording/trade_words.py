"""The words of the trade's tables: a cause, its source, a standard, a variable, what to ask."""

from __future__ import annotations

from functools import cache

from journal.findings.readers import AGE, MAKE_VARIABLES, WHEEL_VARIABLES
from journal.reckoning import growth, standards
from journal.records.tables import table
from journal.wording.letters import capital
from journal.wording.sentences import word_of, worded

NAMES: dict[str, str] = {
    **{one.variable.key: one.variable.name for one in MAKE_VARIABLES},
    **{variable.key: variable.name for variable, _ in WHEEL_VARIABLES},
    AGE.key: AGE.name,
}
"""What a variable of makes or wheels is called, by its key."""


def name_words(key: str) -> str:
    """What a variable is called; of one that is only asked about, its key as words."""
    own = word_of("wording.variable-", key)
    return own if own != key else NAMES.get(key, key.replace("_", " "))


def variable_question(key: str) -> str:
    """What is asked for where a variable is not known: of one that is read here, how to."""
    for words in ("wording.measure-", "wording.ask-"):
        if (own := word_of(words, key)) != key:
            return own
    return worded("wording.trade-write-down", name=name_words(key))


def cause_words(row: str) -> str:
    """A cause in the words of its table."""
    return _cells("causes", "id", "cause").get(row, "")


def remedy_words(row: str) -> str:
    """What its table says to do about a cause, "" where it says nothing."""
    return _cells("causes", "id", "remedy").get(row, "")


def threshold_words(row: str) -> str:
    """The figure its table gives with a cause, "" without one."""
    return _cells("causes", "id", "threshold").get(row, "")


def published_effect_words(row: str) -> str:
    """A published effect: what was changed, and what came of it."""
    change = _cells("effects", "id", "change").get(row, "")
    return f"{change}: {_cells('effects', 'id', 'size').get(row, '')}"


def source_words(key: str) -> str:
    """A source and where it was read."""
    read = _cells("trade_sources", "key", "read").get(key, "")
    source = _cells("trade_sources", "key", "source")[key]
    return f"{source} – {read}." if read else f"{capital(source)}."


def grade_words(row: str) -> str:
    """Whose figure of composition it is: "export specification, Australia"."""
    status = _cells("grading", "id", "status").get(row, "")
    return f"{status}, {_cells('grading', 'id', 'country').get(row, '')}"


def disagreement_words(one: str) -> tuple[str, str]:
    """The title and the text of a disagreement."""
    found = _cells("disagreements", "id", "title"), _cells("disagreements", "id", "text")
    return found[0][one], found[1][one]


@cache
def _cells(name: str, key: str, column: str) -> dict[str, str]:
    found = table(name)
    return dict(zip(found[key], found[column], strict=True))


def limit_words(family: str, hours: str, note: str, source: str) -> str:
    which = "wording.trade-limit-after" if hours else "wording.trade-limit"
    return worded(which, family=family, hours=hours, note=note, source=source)


def growth_words(one: growth.GrowthRange) -> str:
    parts = (
        ("wording.trade-grows-at", one.low_c, one.high_c),
        ("wording.trade-grows-ph", one.low_ph, one.high_ph),
    )
    ends = [
        worded(name, low=low, high=high) for name, low, high in parts if low == low and high == high
    ]
    ends += [worded("wording.trade-grows-wet", aw=one.low_aw)] if one.low_aw == one.low_aw else []
    return ", ".join(ends)


def standard_words(one: standards.Standard) -> str:
    """A standard and its limits in one line."""
    limits = (
        ("wording.trade-most-moisture", one.max_moisture_pct),
        ("wording.trade-least-fdm", one.min_fdm_pct),
        ("wording.trade-least-fat", one.min_fat_pct),
    )
    parts = [worded(which, share=share) for which, share in limits if share is not None]
    if one.min_dry_by_fdm:
        parts.append(worded("wording.trade-dry-by-fdm"))
    parts += filter(None, (one.made, one.age))
    if one.ground == "from memory":
        parts.append(worded("wording.trade-from-memory"))
    return f"{one.authority} {one.cheese} ({'; '.join(parts)})"
