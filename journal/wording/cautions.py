"""Cautions for wheels, where the danger is. General, and local codes and licensed practice come
first; each names its source."""

from __future__ import annotations

from collections.abc import Iterable

_LOCAL = "Local codes come first."
# Common trade advice (from memory); toxins: reviews of moulds found on cheese, restated.
MOULD = (
    "Growth you did not put there: throw a soft cheese away; of a hard one cut at least 25 mm "
    "around it away. Stray moulds can form toxins (common practice; reviews of moulds on cheese). "
    f"{_LOCAL}"
)
# FSANZ, imported food risk statement on Listeria in cheese, 2016; the rise of pH: Fundamentals of
# Cheese Science, 2017 (from memory).
SOFT = (
    "Its rind loses its acid as it ripens, and Listeria grows on it even in the cold (FSANZ, "
    f"2016): not for pregnant women, small children, the old or the ill. {_LOCAL}"
)
SOFT_TASTED = (
    "A soft or fresh cheese: Listeria grows in it even in the cold (FSANZ, 2016). Not for pregnant "
    f"women, small children, the old or the ill. {_LOCAL}"
)
# Dairy Food Safety Victoria, cheese and organics in oil, 2013; FDA, table of growth factors, 1999.
OIL = (
    "Rubbing a rind with oil is care. Cheese or herbs kept under oil have no air: without acid, "
    "salt and cold botulism can grow there, in a refrigerator too (Dairy Food Safety Victoria, "
    f"2013; FDA, 1999). {_LOCAL}"
)
# Thom and Fisk, The Book of Cheese, 1918, of unwanted moulds; unwrapping: common practice.
AMMONIA = (
    "A smell of ammonia comes with age under a wrap, or from moulds that do not belong there (The "
    "Book of Cheese, 1918). Unwrap it and let it breathe for a day; throw it away where the smell "
    f"stays or the rind is slimy, black or pink. {_LOCAL}"
)
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
                return caution
    kinds = set(cares)
    if kinds & set(_SOFT_CARE):
        return SOFT
    return OIL if "oil" in kinds else ""
