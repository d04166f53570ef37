"""Cautions for wheels, where the danger is. General, and local codes and licensed practice come
first; each names its source."""

from __future__ import annotations

from collections.abc import Iterable

from journal.wording import worded

MOULD, SOFT = "wording.caution-mould", "wording.caution-soft"
OIL, AMMONIA = "wording.caution-oil", "wording.caution-ammonia"
# After what ripens from its rind inwards.
_SOFT_CARE = ("rub", "wrap", "pierce")
_WORDS = (
    (AMMONIA, ("ammonia",)),
    (OIL, ("in oil", "under oil", "herbs")),
    (MOULD, ("mould", "mold", "spots", "black", "pink", "slime", "slimy", "hairy", "growth")),
)


def wheel_caution(cares: Iterable[str], notes: Iterable[str]) -> str:
    """The caution that a wheel wants by the care it gets and the newest words on it first; "" for
    none."""
    for note in notes:
        for caution, words in _WORDS:
            if any(word in note.casefold() for word in words):
                return worded(caution)
    kinds = set(cares)
    if kinds & set(_SOFT_CARE):
        return worded(SOFT)
    return worded(OIL) if "oil" in kinds else ""
