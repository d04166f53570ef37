"""One is one: counts with their nouns."""

from __future__ import annotations

import pytest

from journal.wording.counts import counted


@pytest.mark.parametrize(
    ("count", "nouns", "text"),
    [
        (0, ("row", "rows"), "0 rows"),
        (1, ("row", "rows"), "1 row"),
        (2, ("row", "rows"), "2 rows"),
        (1_204, ("reading", "readings"), "1,204 readings"),
        (1.0, ("day", "days"), "1 day"),
        (60.0, ("day", "days"), "60 days"),
        (2.5, ("day", "days"), "2.5 days"),
        (1, ("batch", "batches"), "1 batch"),
        (3, ("batch", "batches"), "3 batches"),
        (1, ("wheel has", "wheels have"), "1 wheel has"),
    ],
)
def test_one_is_one(count: float, nouns: tuple[str, ...], text: str) -> None:
    assert counted(count, *nouns) == text
