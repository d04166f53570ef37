"""What can be asked about: the scores that were given, then the defects that were named."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from journal.findings.defect_table import LEAST_NAMED
from journal.keeping import Journal
from journal.reports.study import DEFECT
from journal.wording import worded


def offered(journal: Journal) -> dict[str, int]:
    """The scores with how many there are, then the defects with in how many samples."""
    found = dict(journal.sessions.attributes())
    named = Counter(term for _, _, term in set(journal.sessions.named_defects()))
    for term, count in sorted(named.items(), key=_most_named):
        if count >= LEAST_NAMED:
            found[f"{DEFECT}{term}"] = count
    return found


def most_given(known: Mapping[str, int], score: str, *, chosen: bool) -> str:
    """What to ask about of what is known: the score as it is, or where a person did not choose it
    and another was given more than twice as often, that one."""
    scores = {name: count for name, count in known.items() if not name.startswith(DEFECT)}
    most = max(scores, key=lambda name: scores[name], default=score)
    if score not in known or (not chosen and 2 * known[score] < scores[most]):
        return most
    return score


def score_options(known: Mapping[str, int]) -> list[tuple[str, str]]:
    """Each of them with its words for a menu."""
    out = []
    for name, count in known.items():
        which = "wording.samples" if name.startswith(DEFECT) else "wording.many-score"
        out.append((name, f"{name}   {worded(which, number=count)}"))
    return out


def _most_named(named: tuple[str, int]) -> tuple[int, str]:
    return -named[1], named[0]
