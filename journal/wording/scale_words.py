"""What a score means in words: the program's own, with a kitchen's words in their place."""

from __future__ import annotations

import csv
from functools import lru_cache

from journal.keeping import Journal
from journal.records.own_files import own_file


@lru_cache(maxsize=1)
def _usual_words() -> dict[tuple[str, float], str]:
    """The program's own words by attribute and value."""
    with own_file("tables", "scale_words.csv").open(encoding="utf-8", newline="") as file:
        return {
            (row["attribute"], float(row["value"])): row["words"] for row in csv.DictReader(file)
        }


def scale_words(journal: Journal, attribute: str) -> dict[float, str]:
    """What the scale means for an attribute in this journal."""
    found = {value: words for (name, value), words in _usual_words().items() if name == attribute}
    own = {w.value: w.words for w in journal.scale_words.where(attribute=attribute)}
    return {**found, **own}
