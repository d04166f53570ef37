"""What design a series is, and what it cannot tell apart, in plain words."""

from __future__ import annotations

import numpy as np

from journal.findings.evidence import LEAST_MAKES
from journal.findings.fractions import IndexPair, aliases
from journal.findings.series import BEST, FULL, LEAST, MIRRORED, Design, lean, width_80
from journal.message import Message
from journal.wording.sentences import worded

_LEANS = 0.01  # means of the seasons further apart than this are mentioned
_AS_GOOD = 0.995
_OFTEN = {1: "wording.series-full-once", 2: "wording.series-full-twice"}
_SHARES = {
    2: "wording.series-half",
    4: "wording.series-a-quarter",
    8: "wording.series-an-eighth",
}
_ALONE = {3: 8, 4: 16, 5: 16, 6: 16}  # makes from which each variable stands alone, by how many


def kind_words(found: Design) -> str:
    """What design it is, in a sentence."""
    many, makes = len(found.factors), len(found.ends)
    if found.kind == FULL:
        times = makes // 2**many
        return worded(_OFTEN.get(times, "wording.series-full-times"), times=times)
    if found.kind == BEST:
        return worded("wording.series-best-of-three" if many <= 3 else "wording.series-best-of-two")
    share = Message(_SHARES.get(2**many // max(makes, 1), "wording.series-a-part"))
    mirrored = found.kind == MIRRORED
    which = "wording.series-folded" if mirrored else "wording.series-fraction"
    return worded(which, share=share, makes=makes // 2)


def middle_words(found: Design) -> list[str]:
    """What makes in the middle are for, where there are some."""
    count = int(found.middle.sum())
    if count < 2:
        return []
    return [worded("wording.series-in-the-middle", makes=count)]


def alias_words(found: Design, *, shortly: bool = False) -> list[str]:
    """What looks alike in these makes, and what to do about it; `shortly` without the names of
    those that only look like each other."""
    if len(found.factors) < 3 or found.kind == BEST or len(found.ends) == 0:
        return []
    names = [factor.name for factor in found.factors]
    like = aliases(found.ends)
    if like.singles:
        pairs = [
            Message("wording.series-pairs-like", pairs=_pairs(some, names), name=names[j])
            for j, some in like.singles.items()
        ]
        out = [worded("wording.series-singles-alike", pairs=pairs)]
        if alone := _ALONE.get(len(names)):
            out.append(worded("wording.series-with-more-makes", makes=alone))
        return [" ".join(out)]
    if not like.pairs:
        return [worded("wording.series-all-apart")]
    if shortly:
        return [worded("wording.series-some-pairs-alike")]
    groups = [Message("wording.either", names=_pairs(pairs, names)) for pairs in like.pairs]
    return [worded("wording.series-pairs-alike", pairs=groups)]


def _pairs(pairs: list[IndexPair], names: list[str]) -> list[Message]:
    """Pairs by name: "salt in curd with curd size"."""
    return [Message("wording.series-pair", one=names[a], other=names[b]) for a, b in pairs]


def efficiency_words(found: Design) -> str:
    """How well it shows the effects, against the best so many makes could do."""
    best = found.efficiency >= _AS_GOOD
    which = "wording.series-efficient" if best else "wording.series-efficiency"
    return worded(which, makes=len(found.ends), share=found.efficiency)


def season_words(found: Design) -> list[str]:
    """How the makes are spread over the seasons of milk."""
    if len(found.parts) < 2:
        return []
    sizes = sorted({int((found.block == b).sum()) for b in found.parts})
    either = Message("wording.series-either", few=sizes[0], many=sizes[-1])
    balanced = lean(found) <= _LEANS
    which = "wording.series-season-apart" if balanced else "wording.series-nearly-balanced"
    each = sizes[0] if len(sizes) == 1 else either
    return [worded(which, seasons=len(found.parts), each=each)]


def series_range_words(found: Design, scatter: float) -> list[str]:
    """How sure its answer will be."""
    if len(found.coded) < LEAST_MAKES:
        return [worded("wording.series-no-range", makes=LEAST, least=LEAST_MAKES)]
    if not np.isfinite(scatter) or scatter <= 0:
        return []
    wide = width_80(found, scatter)
    return [worded("wording.series-known-to", scatter=scatter, wide=wide)]
