"""The makes of a series in words: what each is made with."""

from __future__ import annotations

from collections.abc import Sequence

from journal.findings.series_plans import digits_of, variable_of
from journal.keeping.series import SeriesMakeState, SeriesWithMakes
from journal.wording.sentences import worded
from journal.wording.variable_values import value_words


def change_words(keys: Sequence[str], values: Sequence[float]) -> str:
    """The values of a make in words: "salt in curd 2.9 %, curd size 8 mm"."""
    pairs = zip(keys, values, strict=True)
    return ", ".join(variable_value_words(key, value) for key, value in pairs)


def variable_value_words(key: str, value: float) -> str:
    """One value in words: "salt in curd 2.9 %"."""
    variable = variable_of(key)
    return f"{variable.name} {value_words(round(value, digits_of(key)), variable.unit)}"


def make_words(full_series: SeriesWithMakes, made: SeriesMakeState) -> str:
    """Which make of the series it is: "make 3 of 8"."""
    number, count = made.one.position + 1, len(full_series.makes)
    return worded("wording.series-make", number=number, count=count)
