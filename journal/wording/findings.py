"""What a study says: what is known and what is not, what a change did, what chance would do."""

from __future__ import annotations

import math

from journal.findings import AGE_KEY, Study
from journal.findings.before_after import BeforeAfter
from journal.findings.chance import LEVEL, best_of_chance, least_rank_p
from journal.findings.evidence import (
    CLEAR,
    LEANING,
    LEAST_MAKES,
    MOST_MORE,
    NEVER,
    UNDECIDED,
    UNKNOWN,
)
from journal.findings.study import ByEvidence
from journal.wording.numbers import signed
from journal.wording.sentences import worded


def score_named(score: str) -> str:
    """A score as it is called in a sentence and on a button."""
    return worded("wording.study-overall-score") if score == "overall" else score


def study_headline(study: Study) -> str:
    """Say in one sentence what is known of what a maker can choose."""
    return headline_of(study.makes, study.by_evidence())


def doubt(study: Study) -> str:
    """Say what is not known, and how many of those that may matter are chance; the age at tasting
    is apart."""
    words = doubt_of(study.makes, study.variables_tried, study.by_evidence(), study.nearest())
    return " ".join(filter(None, (words, _by_chance(study), _age_apart(study))))


def _by_chance(study: Study) -> str:
    """How many of those that may matter are chance, about."""
    lean = sum(f.evidence == LEANING for f in study.findings)
    chance = round(study.leaning_by_chance)
    if lean == 1:
        return worded("wording.study-the-one-by-chance") if chance else ""
    if not chance:
        return worded("wording.study-hardly-by-chance", lean=lean) if lean else ""
    which = "wording.study-some-by-chance"
    if chance == lean:
        which = "wording.study-both-by-chance" if lean == 2 else "wording.study-all-by-chance"
    return worded(which, lean=lean, chance=chance)


def _age_apart(study: Study) -> str:
    """What the age does, which nobody chooses when making."""
    age = next((f for f in study.findings if f.key == AGE_KEY and not f.moved_with), None)
    if age is None or age.evidence not in (CLEAR, LEANING):
        return ""
    is_clear = age.evidence == CLEAR
    return worded("wording.study-age-goes" if is_clear else "wording.study-age-may-go")


def headline_of(makes: int, by_evidence: ByEvidence) -> str:
    """What is known, of so many makes and variables by evidence word."""
    if makes < LEAST_MAKES:
        return worded("wording.study-too-few", makes=makes)
    clear, leaning = by_evidence[CLEAR], by_evidence[LEANING]
    if clear:
        which = "wording.study-clear-one" if len(clear) == 1 else "wording.study-clear"
        return worded(which, names=clear[0], things=len(clear))
    if leaning:
        which = "wording.study-leaning-one" if len(leaning) == 1 else "wording.study-leaning"
        return worded(which, names=leaning[0], things=len(leaning))
    return worded("wording.study-nothing")


def doubt_of(
    makes: int,
    tried: int,
    by_evidence: ByEvidence,
    nearest: tuple[str, int] | None,
) -> str:
    """What is not known; `nearest` is what fewest more makes would settle."""
    if makes < LEAST_MAKES:
        return worded("wording.study-ranges-need", least=LEAST_MAKES)
    names = [name for group in by_evidence[UNDECIDED] for name in group]
    if names or by_evidence[LEANING]:
        one = names[0] if len(names) == 1 else ""
        undecided = "wording.study-one-undecided" if one else "wording.study-undecided"
        which = undecided if names else "wording.study-may-be-chance"
        words = worded(which, undecided=len(names), tried=tried, name=one)
        return " ".join(filter(None, (words, _soonest(nearest, one))))
    if by_evidence[UNKNOWN] and not by_evidence[CLEAR]:
        return worded("wording.study-known-for-too-few")
    if by_evidence[NEVER] and not by_evidence[CLEAR]:
        return worded("wording.study-nothing-changed")
    return worded("wording.study-no-cause")


def _soonest(nearest: tuple[str, int] | None, named: str = "") -> str:
    """What would be settled first; `named` was named just before."""
    if nearest is None:
        return ""
    name, more = nearest
    if name == named:
        which = "wording.study-settles-many" if more >= MOST_MORE else "wording.study-settles"
    else:
        which = "wording.study-first-many" if more >= MOST_MORE else "wording.study-first"
    return worded(which, name=name, more=more)


def at_best(makes: int, variables: int) -> str:
    """Say in one sentence what so many makes and variables could show at best."""
    least = least_rank_p(makes)
    if least > LEVEL:
        return worded("wording.study-never-reaches", makes=makes, p=least)
    best = best_of_chance(makes, variables)
    if math.isnan(best):
        return ""
    return worded("wording.study-best-by-chance", variables=variables, makes=makes, best=best)


def compared_words(found: BeforeAfter) -> str:
    """What the makes after a change have against those before it."""
    digits = 0 if found.is_defect else 1
    ends = (found.low95, found.high95, found.held, found.held_low95, found.held_high95)
    limits = [signed(value, digits) for value in ends]
    rose = found.difference > 0
    if found.is_defect:
        which = "wording.change-named-more" if rose else "wording.change-named-fewer"
    else:
        which = "wording.change-scored-higher" if rose else "wording.change-scored-lower"
    size = f"{abs(found.difference):.{digits}f}"
    parts = [worded(which, score=found.score, size=size, low=limits[0], high=limits[1])]
    if math.isfinite(found.held):
        held, low, high = limits[2:]
        parts.append(worded("wording.change-held", held=held, low=low, high=high))
    if found.beside:
        parts.append(worded("wording.change-differed-too"))
    return " ".join(parts)
