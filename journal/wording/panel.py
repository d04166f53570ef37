"""What panels and their tests say, in sentences a cheesemaker understands."""

from __future__ import annotations

import math
from collections.abc import Sequence

from journal.findings.agreement import Intraclass, Member, OrdinalAgreement
from journal.findings.dprime import right_share
from journal.findings.panel_tests import PanelSize, Similarity, TestResult, panel_size, share_at
from journal.findings.ranking import Ranking
from journal.findings.setting_up import are_even
from journal.keeping.session_rows import RevealedRow
from journal.records.panel_tests import PAIRED, TETRAD
from journal.wording.counts import count, count_first, counted, listed, noun
from journal.wording.numbers import percent

FEW = 6
"""Up to so many assessors make a kitchen's panel."""
_STEADY, _LOOSE = 0.5, 1.5  # points between two cups of one cheese


def times_words(p: float) -> str:
    """A chance as how often it comes: "2 times in 100"."""
    if p >= 0.995:
        return "nearly always"
    for whole in (100, 1_000, 10_000):
        times = round(p * whole)
        if times >= 1:
            return f"{times} {noun(times, 'time', 'times')} in {whole:,}"
    return "less than once in 10,000"


def result_words(result: TestResult, kind: str, asked: str = "", named: str = "") -> str:
    """A difference test's answer in a sentence: "5 of 6 told them apart; …"."""
    by_chance = f"by chance that happens {times_words(result.p)}"
    if kind == PAIRED:
        more = f"more {asked}" if asked else "stronger"
        return f"{result.right} of {result.answers} found {named or 'one'} {more}; {by_chance}."
    return f"{result.right} of {result.answers} told them apart; {by_chance}."


def verdict_words(result: TestResult, people: int | None = None) -> str:
    """What follows from the answer, and what does not.

    `people` is how many gave the answers: fewer than there are answers count for themselves only.
    """
    again = people is not None and people < result.answers
    share = f"{percent(result.low)} to {percent(result.high)}"
    if result.differs and again:
        who = "the one person" if people == 1 else f"the {count(people or 0)} people"
        return (
            f"That is evidence of a difference for {who} who tasted, and says nothing about others."
        )
    if result.differs and percent(result.low) == percent(0):
        return (
            "That is evidence of a difference, but hardly says how many can tell it: at most "
            f"{percent(result.high)} of such people (95 % range)."
        )
    if result.differs:
        return f"That is evidence of a difference: {share} of such people can tell (95 % range)."
    if result.least is None:
        return (
            f"{count_first(result.answers)} {noun(result.answers, 'answer', 'answers')} can never "
            "show a difference, even all right: ask more people, or each of them again."
        )
    may = "" if again else f": {share} may be able to tell (95 % range)"
    return (
        f"That is no evidence of a difference, nor that there is none{may}. "
        f"{result.least} right of {result.answers} would have been."
    )


def apart_by_words(result: TestResult) -> str:
    """How large a difference is, as d′ with its range; "" for a test that has none."""
    if result.d_prime_low is None:
        return ""
    low = f"{result.d_prime_low:.1f}"
    if result.d_prime is None:
        return (
            f"How far apart: d′ {low} or more (exact 95 % range; every answer is right, so nothing "
            "bounds it)."
        )
    high = "no bound" if result.d_prime_high is None else f"{result.d_prime_high:.1f}"
    return f"How far apart: d′ {result.d_prime:.1f}, {low} to {high} (exact 95 % range)."


def similar_words(found: Similarity) -> str:
    """Whether two cheeses are alike enough, and what would have shown it."""
    certain = percent(1 - found.beta)
    if found.alike:
        return (
            f"Alike enough: fewer than {percent(found.share)} of such people can tell ({certain} "
            "certain)."
        )
    would = (
        "too few answers to show that at all"
        if found.most is None
        else f"{found.most} right or fewer would have shown that"
    )
    return (
        f"Not shown to be alike: up to {percent(found.at_most)} of such people may be able to tell "
        f"({certain} certain). To be alike, fewer than {percent(found.share)} should; {would}."
    )


def similar_size_words(kind: str, share: float, wanted: float, size: PanelSize) -> str:
    """How many answers it takes to show that two cheeses are alike."""
    return (
        f"If nobody can tell, a {kind} test shows that fewer than {percent(share)} can "
        f"{percent(wanted)} of the time from {size.stays} answers on (95 % certain)."
    )


def difference_words(share: float, d: float | None) -> str:
    """How large a difference is meant: "50 % of people can tell"."""
    if d is None:
        return f"{percent(share)} of people can tell"
    pair = percent(right_share(PAIRED, d))
    return f"the difference is d′ {d:g} ({pair} would name it rightly in a pair)"


def size_words(
    kind: str, share: float, wanted: float, size: PanelSize, d: float | None = None
) -> str:
    """How many answers a test needs; with `d` for a difference of that d′."""
    return (
        f"If {difference_words(share, d)}, a {kind} test finds it {percent(wanted)} of the "
        f"time from "
        f"{size.stays} answers on. Fewer people may each taste several times, all equally often; "
        "the result then holds for these people only."
    )


def ranking_words(found: Ranking, names: Sequence[str], asked: str) -> str:
    """A ranking's answer in a sentence."""
    how = "by chance that happens" if found.exact else "by chance, over random orders, that happens"
    if found.p > found.level:
        return f"The panel does not agree on an order of {asked}; {how} {times_words(found.p)}."
    order = sorted(range(len(names)), key=lambda i: found.sums[i])
    ordered = ", ".join(names[i] for i in order)
    return f"From the most {asked} to the least: {ordered}; {how} {times_words(found.p)}."


def apart_words(found: Ranking, names: Sequence[str], people: int | None = None) -> str:
    """Which cheeses of a ranking are apart, and which only may be.

    `people` is how many gave the orders: fewer than there are orders count for themselves only.
    """
    if not found.apart:
        return "No two can be told apart by their rank sums."
    pairs = "; ".join(f"{names[a]} before {names[b]}" for a, b in found.apart)
    text = f"Rank sums {found.distance:.1f} or more apart: {pairs}."
    if people is None or people >= found.assessors:
        return text
    who = "One person" if people == 1 else f"{count_first(people)} people"
    return f"{text} {who} ranked them several times: that says nothing about others."


def fitting_words(assessors: int) -> str:
    """Which kind of tasting so few or so many people can do, in friendly words."""
    if assessors <= FEW:
        return (
            f"{count_first(assessors)} {noun(assessors, 'person', 'people')} can score "
            "well: dairy scoring (ISO 22935) works with few who know the cheese. Difference tests "
            "and liking need more: about 30 answers for a difference, 60 people for liking."
        )
    return (
        f"{count_first(assessors)} people are enough to score well, and to find a clear "
        "difference; a small one needs about 30 answers. Liking needs 60 people or more."
    )


ALL_OF_YOU = "all of you"
_SURE, _ROUGHLY = 0.8, 0.667  # Krippendorff 2004 (from memory): to rely on; for first conclusions
# What a test needs to find a difference of d′ 1 at 5 %, four times in five; and how often such a
# difference is named rightly in a pair.
_SMALL, _POWER = 1.0, 0.8


def who_words(tell: Sequence[str], unsure: Sequence[str]) -> str:
    """Who can tell cheeses apart, and of whom that is not shown yet."""
    if not tell:
        return (
            "Nobody is shown to tell cheeses apart yet: taste more of them together, or take "
            "tetrad tests."
        )
    if not unsure:
        everyone = "Both" if len(tell) == 2 else f"All {count(len(tell))}"
        return f"{everyone} of you can tell cheeses apart: {listed(tell)}."
    return f"{listed(tell)} can tell cheeses apart; of {listed(unsure)} that is not shown yet."


def answers_right_words(name: str, right: int, answers: int, p: float) -> str:
    """How many answers of panel tests were right; "" without any."""
    if not answers:
        return ""
    return (
        f"In panel tests {name} was right {right} of {answers} times; by chance that happens "
        f"{times_words(p)}."
    )


def order_words(found: OrdinalAgreement) -> str:
    """How far the panel puts cheeses in one order."""
    few = f", as far as {counted(found.samples, 'sample')} can show" if found.low <= 0 else ""
    if found.alpha >= _SURE:
        text = "You agree well on the order of the cheeses"
    elif found.alpha >= _ROUGHLY:
        text = "You agree roughly on the order of the cheeses"
    elif found.alpha >= _ROUGHLY / 2:
        text = "You agree only in part on the order of the cheeses"
    else:
        text = "You do not agree on an order yet, or the cheeses were much alike"
    return f"{text}{few}."


def size_of_panel_words(people: int) -> str:
    """What so many people can show, by scoring and by panel tests."""
    sizes = {
        kind: panel_size(kind, share_at(kind, _SMALL), _POWER).stays for kind in (PAIRED, TETRAD)
    }
    each = {kind: -(-size // people) for kind, size in sizes.items()}
    named = percent(right_share(PAIRED, _SMALL))
    score = "is enough" if people == 1 else "are enough"
    who = f"{count_first(people)} {noun(people, 'person', 'people')}"
    return (
        f"{who} {score} to score well (ISO 22935), but a small difference, one that {named} name "
        f"rightly in a pair, takes {sizes[PAIRED]} pairs or {sizes[TETRAD]} tetrads to show: "
        f"{each[PAIRED]} or {each[TETRAD]} each."
    )


def agreement_words(found: Intraclass, assessors: int) -> str:
    """How far the panel's mean can be trusted, in friendly words."""
    alone, together = max(found.one[1], 0.0), max(found.mean[1], 0.0)
    if together >= 0.75:
        text = "You agree well: the panel's mean can be trusted to tell wheels apart"
    elif together >= 0.5:
        text = "You mostly agree: the panel's mean shows clear differences between wheels"
    else:
        text = "You do not agree yet, or the cheeses were much alike"
    if together >= 0.5 and found.low <= 0:
        text += ", as far as so few samples can show"
    return (
        f"{text} (agreement of the mean of {count(assessors)} {together:.2f}, of one person alone "
        f"{alone:.2f}; 1 is full agreement)."
    )


def defect_words(found: Sequence[tuple[str, float, int]]) -> str:
    """On which defects the panel agrees, and on which it does not yet."""
    sure = [term for term, kappa, times in found if times > 2 and kappa >= 0.4]
    unsure = [term for term, kappa, times in found if times > 2 and kappa < 0.2]
    parts = []
    if sure:
        parts.append(f"You agree well on {listed(sure[:4])}")
    if unsure:
        parts.append(f"taste together what you call {listed(unsure[:4])}: you name "
                     f"{'it' if len(unsure) == 1 else 'them'} on different samples")  # fmt: skip
    if not parts:
        return "Too few defects were named to say how far you agree on them."
    text = "; ".join(parts)
    return f"{text[0].upper()}{text[1:]}."


def member_words(member: Member, name: str) -> str:
    """How an assessor compares with the others, in friendly words."""
    parts = [_level_words(member)]
    if not math.isnan(member.spread):
        parts.append(_spread_words(member.spread))
    if not math.isnan(member.with_others) and member.with_others < 0:
        parts.append("often ranks wheels the other way round, which is worth discussing")
    if member.doubles:
        parts.append(_repeat_words(member))
    return f"{name} {', '.join(parts)}."


def _level_words(member: Member) -> str:
    if abs(member.level) < 0.25:
        return "scores at the panel's level"
    side = "above" if member.level > 0 else "below"
    return f"scores {abs(member.level):.1f} points {side} the panel (the journal allows for it)"


def _spread_words(spread: float) -> str:
    if spread < 0.6:
        return "stays near the middle and could use more of the scale"
    if spread > 1.6:
        return "uses more of the scale than the others"
    return "uses the scale as the others do"


def _repeat_words(member: Member) -> str:
    times = "one repeat" if member.doubles == 1 else f"{member.doubles} repeats"
    if member.repeat_sd <= _STEADY:
        text = "gave a cheese served twice nearly the same score"
    elif member.repeat_sd <= _LOOSE:
        text = f"scores the same cheese again within {member.repeat_sd:.1f} points"
    else:
        text = f"differs by {member.repeat_sd:.1f} points on the same cheese, so taste it twice"
    return f"{text} ({times})"


def even_words(orders: Sequence[Sequence[int]]) -> str:
    """How even serving orders are, in a sentence (samples by any number)."""
    if are_even(orders):
        return "Every sample comes at each place, and after each other one, equally often."
    people = f"{count(len(orders))} {noun(len(orders), 'assessor', 'assessors')}"
    return f"The most even orders a search found for {people}; the codes are random."


def chance_words(p: float) -> str:
    """A chance in words that stay short however small it is."""
    if p < 1e-4:
        return "under 0.01 %"
    return f"{100 * p:.2g} %" if p < 0.1 else f"{100 * p:.0f} %"


def twice_words(samples: Sequence[RevealedRow]) -> str:
    """What each assessor gave both cups of a cheese served twice: "Orla 7.5 and 7"."""
    pairs = []
    for name in dict.fromkeys(s.name for s in samples):
        cups = [s for s in samples if s.name == name]
        given: dict[str, list[float]] = {}
        for cup in cups:
            for who, scored in cup.all_scored:
                if "overall" in scored.scores:
                    given.setdefault(who, []).append(scored.scores["overall"])
        both = [f"{who} {' and '.join(f'{v:g}' for v in values)}"
                for who, values in given.items() if len(values) > 1]  # fmt: skip
        if both:
            pairs.append(f"{name} was served twice: {', '.join(both)}.")
    return " ".join(pairs)
