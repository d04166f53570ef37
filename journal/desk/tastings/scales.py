"""A kitchen's own words for a score, saved."""

from __future__ import annotations

from journal.keeping import Journal
from journal.records import id_of
from journal.records.tastings import ScaleWord
from journal.wording import worded
from journal.wording.scale_words import scale_words


def save_text(journal: Journal, attribute: str, value: float, words: str) -> None:
    """Keep a kitchen's own words for a score; as they were, nothing is kept."""
    if scale_words(journal, attribute).get(value, "") == words or not attribute:
        return
    known = journal.scale_words.where(attribute=attribute, value=value)
    with journal.unit(worded("desk.step-describe-scale", attribute=attribute)):
        for old in known:
            journal.scale_words.remove(id_of(old))
        journal.scale_words.save(ScaleWord(attribute, value, words))
