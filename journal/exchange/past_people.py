"""Who tasted, by the names of columns: "Judge 1", "overall (Ann)", "Ben's score"."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence

from journal.findings.columns import PERSON_NAMES

_NUMBERED = re.compile(
    rf"(?:{'|'.join(sorted(map(re.escape, PERSON_NAMES), key=len, reverse=True))})"
    r"\s*[:#.]?\s*(\w[\w .'-]{0,30})",
    re.IGNORECASE,
)
_OWNED = re.compile(r"(\w[\w .-]{0,30}?)[’']s\s+(\w+(?: \w+)?)", re.IGNORECASE)
_NO_NAMES = {"intensity", "balance", "score", "total", "mean", "average", "rating", "points",
             "note", "strength", "defects", "young", "old", "weeks", "months", "days"}  # fmt: skip
_NAME = re.compile(r"[A-ZÀ-ÖØ-Þ][\w'’.-]{0,24}(?: [A-ZÀ-ÖØ-Þ][\w'’.-]{0,24})?")


def whose(headers: Sequence[str], scores: Mapping[str, str]) -> dict[int, tuple[str, str]]:
    """Columns that hold what one person gave: by place, the attribute and the person.

    A header says so by a word for a taster ("Judge 1"), by whose it is ("Ann's score"), or by an
    attribute with a name behind it, where at least two columns have the attribute so
    ("overall Ann", "overall (Ben)"). `scores` are attributes by the words that say them.
    """
    found: dict[int, tuple[str, str]] = {}
    maybe: dict[int, tuple[str, str]] = {}
    for index, header in enumerate(headers):
        plain = " ".join(header.replace("_", " ").split())
        numbered, owned = _NUMBERED.fullmatch(plain), _OWNED.fullmatch(plain)
        if numbered:
            name = numbered[1].strip()
            found[index] = ("overall", name if not name.isdigit() else plain)
        elif owned and owned[2].lower() in scores:
            found[index] = (scores[owned[2].lower()], owned[1].strip())
        else:
            pair = _attribute_and_name(plain, scores)
            if pair is not None:
                maybe[index] = pair
    often = Counter(attribute for attribute, _ in maybe.values())
    return found | {index: pair for index, pair in maybe.items() if often[pair[0]] > 1}


def _attribute_and_name(plain: str, scores: Mapping[str, str]) -> tuple[str, str] | None:
    """ "overall (Ann)" as its attribute and name; None where it is something else."""
    if plain.lower() in scores:
        return None
    parts = [part for part in re.split(r"\s*[(\[\])/:,–-]\s*|\s+", plain) if part]
    for cut in range(1, len(parts)):
        head, tail = " ".join(parts[:cut]), " ".join(parts[cut:])
        for word, name in ((head, tail), (tail, head)):
            if (
                word.lower() in scores
                and name.lower() not in scores
                and _NAME.fullmatch(name)
                and name.lower() not in _NO_NAMES
            ):
                return scores[word.lower()], name
    return None
