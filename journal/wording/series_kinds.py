"""What design a series is, and what it cannot tell apart, in plain words."""

from __future__ import annotations

import numpy as np

from journal.findings.evidence import LEAST_MAKES
from journal.findings.fractions import Pair, aliases
from journal.findings.series import BEST, FULL, LEAST, MIRRORED, Design, lean, width_80
from journal.wording.counts import counted

_LEANS = 0.01  # means of the seasons further apart than this are mentioned
_AS_GOOD = 0.995

_SHARES = {2: "Half", 4: "A quarter", 8: "An eighth"}
_MOST_NAMED = 6


def kind_words(found: Design) -> str:
    """What design it is, in a sentence."""
    many, makes = len(found.factors), len(found.ends)
    if found.kind == FULL:
        times = makes // 2**many
        often = {1: "once", 2: "twice"}.get(times, f"{times} times")
        return f"Every combination of low and high is made {often}."
    if found.kind == BEST:
        levels = "low, middle and high" if many <= 3 else "low and high"
        return f"The set of {levels} values that shows the most, of those tried."
    share = _SHARES.get(2**many // max(makes, 1), "A part")
    if found.kind == MIRRORED:
        return (
            f"{share} of all combinations, folded over: the first {counted(makes // 2, 'make')} "
            "give a first answer; then each is made the other way round, low for high."
        )
    return f"{share} of all combinations of low and high."


def middle_words(found: Design) -> list[str]:
    """What makes in the middle are for, where there are some."""
    count = int(found.middle.sum())
    if count < 2:
        return []
    return [
        f"{counted(count, 'make')} in the middle of all, spread over the series: they show how far "
        "makes made alike differ, and whether the best lies between low and high."
    ]


def alias_words(found: Design, *, shortly: bool = False) -> list[str]:
    """What looks alike in these makes, and what to do about it; `shortly` without the names of
    those that only look like each other."""
    if len(found.factors) < 3 or found.kind == BEST or len(found.ends) == 0:
        return []
    names = [factor.name for factor in found.factors]
    like = aliases(found.ends)
    if like.singles:
        pairs_words = [
            f"{_pairs(pairs, names)} like {names[j]}" for j, pairs in like.singles.items()
        ]
        return [
            "What cannot be told apart: two that act together look like another one alone: "
            f"{'; '.join(pairs_words)}.{_way_out(found)}"
        ]
    if like.pairs and shortly:
        return [
            "No variable alone looks like two that act together; "
            "some of those look like each other."
        ]
    if like.pairs:
        pairs_words = [_pairs(pairs, names) for pairs in like.pairs]
        return [
            "No variable alone looks like two that act together. What cannot be told apart are "
            f"these two that act together, each from the next: {'; '.join(pairs_words)}."
        ]
    return ["Every variable, and every two that act together, can be told apart."]


def _pairs(pairs: list[Pair], names: list[str]) -> str:
    """Pairs by name: "salt in curd with curd size or cook temperature with ripening"."""
    return " or ".join(f"{names[a]} with {names[b]}" for a, b in pairs)


def _way_out(found: Design) -> str:
    many = len(found.factors)
    more = {3: 8, 4: 16, 5: 16, 6: 16}.get(many)
    return f" With {more} makes each stands alone." if more else ""


def efficiency_words(found: Design) -> str:
    """How well it shows the effects, against the best so many makes could do."""
    makes = counted(len(found.ends), "make")
    if found.efficiency >= _AS_GOOD:
        return f"Each effect is known as well as {makes} can show it (efficiency 100 %)."
    return f"Efficiency {100 * found.efficiency:.0f} %: 100 % is the best {makes} could do."


def season_words(found: Design) -> list[str]:
    """How the makes are spread over the seasons of milk."""
    if len(found.parts) < 2:
        return []
    sizes = sorted({int((found.block == b).sum()) for b in found.parts})
    each = f"{sizes[0]}" if len(sizes) == 1 else f"{sizes[0]} or {sizes[-1]}"
    leans = lean(found)
    how = (
        "so the milk's season cannot be mistaken for an effect"
        if leans <= _LEANS
        else "nearly balanced; what is left of the season is taken out later"
    )
    return [f"Each of the {len(found.parts)} seasons of milk has {each} of the makes, {how}."]


def range_words(found: Design, scatter: float) -> list[str]:
    """How sure its answer will be."""
    if len(found.coded) < LEAST_MAKES:
        return [
            f"{LEAST} makes give a picture, but no range: ranges need at least {LEAST_MAKES} makes "
            "with a score."
        ]
    if not np.isfinite(scatter) or scatter <= 0:
        return []
    wide = width_80(found, scatter)
    return [
        f"As makes here differ by chance (±{scatter:.1f} points), each effect would be known to "
        f"about ±{wide:.1f} points, 8 times in 10."
    ]
