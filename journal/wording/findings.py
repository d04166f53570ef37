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
from journal.wording.counts import count, count_first, counted, listed, noun
from journal.wording.letters import capital
from journal.wording.numbers import signed


def score_named(score: str) -> str:
    """A score as it is called in a sentence and on a button."""
    return "the overall score" if score == "overall" else score


def headline(study: Study) -> str:
    """Say in one sentence what is known of what a maker can choose."""
    return headline_of(study.makes, study.by_evidence())


def doubt(study: Study) -> str:
    """Say what is not known, and how many of those that may matter are chance; the age at tasting
    is apart."""
    words = doubt_of(study.makes, study.variables_tried, study.by_evidence(), study.nearest())
    return f"{words}{_by_chance(study)}{_age_apart(study)}"


def _by_chance(study: Study) -> str:
    """How many of those that may matter are chance, about."""
    lean = sum(f.evidence == LEANING for f in study.findings)
    chance = round(study.leaning_by_chance)
    if not chance:
        some = "less than one may be chance"
        return f" Of the {count(lean)} that may matter, {some}." if lean > 1 else ""
    if lean == 1:
        return " The one that may matter may be chance."
    if chance == lean:
        return f" {'Both' if lean == 2 else f'All {count(lean)}'} that may matter may be chance."
    return f" Of the {count(lean)} that may matter, about {count(chance)} may be chance."


def _age_apart(study: Study) -> str:
    """What the age does, which nobody chooses when making."""
    age = next((f for f in study.findings if f.key == AGE_KEY and not f.moved_with), None)
    if age is None or age.evidence not in (CLEAR, LEANING):
        return ""
    sure = "goes" if age.evidence == CLEAR else "may go"
    return f" Age stands apart: the score {sure} with it too."


def headline_of(makes: int, by_evidence: ByEvidence) -> str:
    """What is known, of so many makes and variables by evidence word."""
    if makes < LEAST_MAKES:
        few = noun(makes, "make is", "makes are")
        return f"{count_first(makes)} {few} too few to learn from yet."
    clear, leaning = by_evidence[CLEAR], by_evidence[LEANING]
    if len(clear) == 1:
        return f"One thing goes with the score so far: {listed(clear[0])}."
    if clear:
        return f"{count_first(len(clear))} things go with the score so far."
    if len(leaning) == 1:
        return f"Nothing is clear yet; {listed(leaning[0])} may matter."
    if leaning:
        return f"Nothing is clear yet; {count(len(leaning))} things may matter."
    return "Nothing goes with the score so far."


def doubt_of(
    makes: int,
    tried: int,
    by_evidence: ByEvidence,
    nearest: tuple[str, int] | None,
) -> str:
    """What is not known; `nearest` is what fewest more makes would settle."""
    if makes < LEAST_MAKES:
        return (
            f"Ranges need at least {count(LEAST_MAKES)} makes: with fewer than five, a rank test "
            "can never reach 5 %."
        )
    names = [name for group in by_evidence[UNDECIDED] for name in group]
    lean = [name for group in by_evidence[LEANING] for name in group]
    if names:
        one = f"{count_first(1)} of {count(tried)} is undecided: {names[0]}."
        many = f"{count_first(len(names))} of {count(tried)} are undecided."
        return one + _soonest(nearest, names[0]) if len(names) == 1 else many + _soonest(nearest)
    if lean:
        return f"It may still be chance.{_soonest(nearest)}"
    if by_evidence[UNKNOWN] and not by_evidence[CLEAR]:
        return "What changed is known for too few makes, so no effect could show."
    if by_evidence[NEVER] and not by_evidence[CLEAR]:
        return "No variable ever changed, so no effect could show."
    return "What goes with the score need not be its cause."


def _soonest(nearest: tuple[str, int] | None, named: str = "") -> str:
    """What would be settled first; `named` was named just before."""
    if nearest is None:
        return ""
    name, more = nearest
    about = "at least" if more >= MOST_MORE else "about"
    makes = noun(more, "make", "makes")
    if name == named:
        return f" {about.capitalize()} {count(more)} more {makes} would settle it."
    if name == named:
        return f" {about.capitalize()} {count(more)} more {makes} would settle it."
    return f" {capital(name)} would be settled first, after {about} {count(more)} more {makes}."


def at_best(makes: int, variables: int) -> str:
    """Say in one sentence what so many makes and variables could show at best."""
    least = least_rank_p(makes)
    if least > LEVEL:
        rank = f"a rank test of {counted(makes, 'make')}"
        return f"At best {rank} gives p = {least:.2f}; it can never reach 5 %."
    best = best_of_chance(makes, variables)
    if math.isnan(best):
        return ""
    many = f"{counted(variables, 'unrelated variable')} over {counted(makes, 'make')}"
    return f"By chance alone, the best of {many} has |r| above {best:.2f} half the time."


def compared_words(found: BeforeAfter) -> str:
    """What the makes after a change have against those before it."""
    digits = 0 if found.is_defect else 1
    size = f"{abs(found.difference):.{digits}f}"
    ends = (found.low95, found.high95, found.held, found.held_low95, found.held_high95)
    limits = [signed(value, digits) for value in ends]
    if found.is_defect:
        way = "more" if found.difference > 0 else "fewer"
        words = f"After it, {found.score} was named in {size} {way} of 100 samples scored"
    else:
        way = "higher" if found.difference > 0 else "lower"
        words = f"After it, the makes scored {size} points {way}"
    words += f", 95 in 100 between {limits[0]} and {limits[1]}."
    if math.isfinite(found.held):
        words += f" With all else equal that is {limits[2]}, between {limits[3]} and {limits[4]}."
    if found.beside:
        words += " What else differed is listed below and may be the reason."
    return words
