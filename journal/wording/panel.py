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
from journal.message import Message
from journal.records.panel_tests import PAIRED, TETRAD
from journal.wording.numbers import percent
from journal.wording.sentences import worded

FEW = 6
"""Up to so many assessors make a kitchen's panel."""
_STEADY, _LOOSE = 0.5, 1.5  # points between two cups of one cheese
ALL_OF_YOU = "wording.panel-all-of-you"
_SURE, _ROUGHLY = 0.8, 0.667  # Krippendorff 2004 (from memory): to rely on; for first conclusions
# What a test needs to find a difference of d′ 1 at 5 %, four times in five; and how often such a
# difference is named rightly in a pair.
_SMALL, _POWER = 1.0, 0.8


def times_words(p: float) -> str:
    """A chance as how often it comes: "2 times in 100"."""
    if p >= 0.995:
        return worded("wording.panel-nearly-always")
    for whole in (100, 1_000, 10_000):
        times = round(p * whole)
        if times >= 1:
            return worded("wording.panel-times", times=times, whole=whole)
    return worded("wording.panel-hardly-ever")


def result_words(result: TestResult, kind: str, asked: str = "", named: str = "") -> str:
    """A difference test's answer in a sentence: "5 of 6 told them apart; …"."""
    which = "wording.panel-told-apart"
    if kind == PAIRED:
        which = "wording.panel-found-more" if asked else "wording.panel-found-stronger"
    return worded(
        which,
        right=result.right,
        answers=result.answers,
        named=named or Message("wording.panel-one"),
        asked=asked,
        times=times_words(result.p),
    )


def verdict_words(result: TestResult, people: int | None = None) -> str:
    """What follows from the answer, and what does not.

    `people` is how many gave the answers: fewer than there are answers count for themselves only.
    """
    again = people is not None and people < result.answers
    if result.differs and again:
        one = people == 1
        return worded("wording.panel-differs-for-one" if one else "wording.panel-differs-for-them",
                      people=people)  # fmt: skip
    if result.differs:
        hardly = percent(result.low) == percent(0)
        differs = "wording.panel-differs-at-most" if hardly else "wording.panel-differs"
        return worded(differs, low=result.low, high=result.high)
    if result.least is None:
        return worded("wording.panel-never-shows", answers=result.answers)
    return worded(
        "wording.panel-no-evidence" if again else "wording.panel-no-evidence-range",
        low=result.low,
        high=result.high,
        least=result.least,
        answers=result.answers,
    )


def apart_by_words(result: TestResult) -> str:
    """How large a difference is, as d′ with its range; "" for a test that has none."""
    if result.d_prime_low is None:
        return ""
    bounded = result.d_prime_high is not None
    apart = "wording.panel-apart" if bounded else "wording.panel-apart-no-bound"
    return worded(
        "wording.panel-apart-all-right" if result.d_prime is None else apart,
        d=result.d_prime,
        low=result.d_prime_low,
        high=result.d_prime_high,
    )


def similar_words(found: Similarity) -> str:
    """Whether two cheeses are alike enough, and what would have shown it."""
    never = found.most is None
    not_alike = "wording.panel-alike-never" if never else "wording.panel-not-alike"
    return worded(
        "wording.panel-alike" if found.alike else not_alike,
        share=found.share,
        certain=1 - found.beta,
        at_most=found.at_most,
        most=found.most,
    )


def similar_size_words(kind: str, share: float, wanted: float, size: PanelSize) -> str:
    """How many answers it takes to show that two cheeses are alike."""
    return worded(
        "wording.panel-size-alike", kind=kind, share=share, wanted=wanted, answers=size.stays
    )


def meant_difference_words(share: float, d: float | None) -> str:
    """How large a difference is meant: "50 % of people can tell"."""
    if d is None:
        return worded("wording.panel-share-tells", share=share)
    return worded("wording.panel-difference", d=d, share=right_share(PAIRED, d))


def size_words(
    kind: str, share: float, wanted: float, size: PanelSize, d: float | None = None
) -> str:
    """How many answers a test needs; with `d` for a difference of that d′."""
    difference = meant_difference_words(share, d)
    return worded(
        "wording.panel-size", difference=difference, kind=kind, wanted=wanted, answers=size.stays
    )


def ranking_words(found: Ranking, names: Sequence[str], asked: str) -> str:
    """A ranking's answer in a sentence."""
    by_chance = "wording.panel-by-chance" if found.exact else "wording.panel-by-random-orders"
    order = sorted(range(len(names)), key=lambda i: found.sums[i])
    return worded(
        "wording.panel-no-order" if found.p > found.level else "wording.panel-order",
        asked=asked,
        names=[names[i] for i in order],
        chance=Message(by_chance, times=times_words(found.p)),
    )


def apart_words(found: Ranking, names: Sequence[str], people: int | None = None) -> str:
    """Which cheeses of a ranking are apart, and which only may be.

    `people` is how many gave the orders: fewer than there are orders count for themselves only.
    """
    if not found.apart:
        return worded("wording.panel-none-apart")
    pairs = [Message("wording.panel-before", one=names[a], other=names[b]) for a, b in found.apart]
    parts = [worded("wording.panel-pairs-apart", distance=found.distance, pairs=pairs)]
    if people is not None and people < found.assessors:
        parts.append(worded("wording.panel-ranked-again", people=people))
    return " ".join(parts)


def fitting_words(assessors: int) -> str:
    """Which kind of tasting so few or so many people can do, in friendly words."""
    few = assessors <= FEW
    return worded("wording.panel-few" if few else "wording.panel-enough", people=assessors)


def who_words(tell: Sequence[str], unsure: Sequence[str]) -> str:
    """Who can tell cheeses apart, and of whom that is not shown yet."""
    if not tell:
        return worded("wording.panel-nobody-tells")
    everyone = "wording.panel-both-tell" if len(tell) == 2 else "wording.panel-all-tell"
    return worded("wording.panel-some-tell" if unsure else everyone, count=len(tell), names=tell,
                  unsure=unsure)  # fmt: skip


def answers_right_words(name: str, right: int, answers: int, p: float) -> str:
    """How many answers of panel tests were right; "" without any."""
    if not answers:
        return ""
    times = times_words(p)
    return worded("wording.panel-was-right", name=name, right=right, answers=answers, times=times)


def order_words(found: OrdinalAgreement) -> str:
    """How far the panel puts cheeses in one order."""
    if found.alpha >= _SURE:
        agree = "wording.panel-order-well"
    elif found.alpha >= _ROUGHLY:
        agree = "wording.panel-order-roughly"
    elif found.alpha >= _ROUGHLY / 2:
        agree = "wording.panel-order-in-part"
    else:
        agree = "wording.panel-order-not-yet"
    few = "wording.panel-order-few" if found.low <= 0 else "wording.panel-order-sentence"
    return worded(few, agree=Message(agree), samples=found.samples)


def size_of_panel_words(people: int) -> str:
    """What so many people can show, by scoring and by panel tests."""
    pairs, tetrads = (
        panel_size(kind, share_at(kind, _SMALL), _POWER).stays for kind in (PAIRED, TETRAD)
    )
    return worded(
        "wording.panel-can-show",
        people=people,
        share=right_share(PAIRED, _SMALL),
        pairs=pairs,
        tetrads=tetrads,
        each_pairs=-(-pairs // people),
        each_tetrads=-(-tetrads // people),
    )


def agreement_words(found: Intraclass, assessors: int) -> str:
    """How far the panel's mean can be trusted, in friendly words."""
    alone, together = max(found.one[1], 0.0), max(found.mean[1], 0.0)
    agree = "wording.panel-agrees-not-yet"
    if together >= 0.5:
        agree = "wording.panel-agrees-well" if together >= 0.75 else "wording.panel-agrees-mostly"
    few = together >= 0.5 and found.low <= 0
    return worded(
        "wording.panel-agreement-few" if few else "wording.panel-agreement",
        agree=Message(agree),
        people=assessors,
        together=together,
        alone=alone,
    )


def agreed_defect_words(found: Sequence[tuple[str, float, int]]) -> str:
    """On which defects the panel agrees, and on which it does not yet."""
    sure = [term for term, kappa, times in found if times > 2 and kappa >= 0.4]
    unsure = [term for term, kappa, times in found if times > 2 and kappa < 0.2]
    which = "wording.panel-defects-too-few"
    if sure:
        which = "wording.panel-defects-both" if unsure else "wording.panel-defects-sure"
    elif unsure:
        which = "wording.panel-defects-unsure"
    return worded(which, sure=sure[:4], unsure=unsure[:4], count=len(unsure))


def member_words(member: Member, name: str) -> str:
    """How an assessor compares with the others, in friendly words."""
    parts = [_level(member)]
    if not math.isnan(member.spread):
        parts.append(Message(_spread(member.spread)))
    if not math.isnan(member.with_others) and member.with_others < 0:
        parts.append(Message("wording.panel-other-way-round"))
    if member.doubles:
        parts.append(_repeats(member))
    return worded("wording.panel-member", name=name, parts=parts)


def _level(member: Member) -> Message:
    if abs(member.level) < 0.25:
        return Message("wording.panel-at-level")
    side = "wording.panel-above-level" if member.level > 0 else "wording.panel-below-level"
    return Message(side, points=abs(member.level))


def _spread(spread: float) -> str:
    if spread < 0.6:
        return "wording.panel-near-middle"
    return "wording.panel-uses-more" if spread > 1.6 else "wording.panel-as-others"


def _repeats(member: Member) -> Message:
    repeats = "wording.panel-repeats-apart"
    if member.repeat_sd <= _LOOSE:
        steady = member.repeat_sd <= _STEADY
        repeats = "wording.panel-repeats-same" if steady else "wording.panel-repeats-within"
    one = member.doubles == 1
    times = "wording.panel-one-repeat" if one else "wording.panel-repeats"
    return Message(repeats, points=member.repeat_sd, times=Message(times, times=member.doubles))


def even_words(orders: Sequence[Sequence[int]]) -> str:
    """How even serving orders are, in a sentence (samples by any number)."""
    even = "wording.panel-orders-even" if are_even(orders) else "wording.panel-orders-nearly"
    return worded(even, people=len(orders))


def chance_words(p: float) -> str:
    """A chance in words that stay short however small it is."""
    if p < 1e-4:
        return worded("wording.panel-chance-under")
    return f"{100 * p:.2g} %" if p < 0.1 else percent(p)


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
        both = [Message("wording.panel-gave-both", who=who, scores=[f"{v:g}" for v in values])
                for who, values in given.items() if len(values) > 1]  # fmt: skip
        if both:
            pairs.append(worded("wording.panel-served-twice", name=name, scores=both))
    return " ".join(pairs)
