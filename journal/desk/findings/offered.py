"""What can be asked about: the scores that were given, then the defects that were named."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from journal.findings.defect_table import LEAST_NAMED
from journal.keeping import Journal
from journal.reports.study import DEFECT
from journal.wording.counts import counted


def offered(journal: Journal, scores: Mapping[str, int] | None = None) -> dict[str, int]:
    """The scores with how many there are, then the defects with in how many samples; `scores` are
    those given, where somebody has read them already."""
    found = dict(journal.sessions.attributes() if scores is None else scores)
    named = Counter(term for _, _, term in set(journal.sessions.named_defects()))
    for term, count in sorted(named.items(), key=_most_named):
        if count >= LEAST_NAMED:
            found[f"{DEFECT}{term}"] = count
    return found


def score_options(journal: Journal) -> list[tuple[str, str]]:
    """Each of them with its words for a menu."""
    return [
        (name, f"{name}   {counted(count, 'sample' if name.startswith(DEFECT) else 'score')}")
        for name, count in offered(journal).items()
    ]


def _most_named(named: tuple[str, int]) -> tuple[int, str]:
    return -named[1], named[0]
