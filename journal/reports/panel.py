"""The panel, read from the journal's revealed sessions, in friendly words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from journal.findings import FindingError
from journal.findings.agreement import (
    Member,
    OrdinalAgreement,
    complete_table,
    defect_agreement,
    intraclass,
    members,
    ordinal_agreement,
)
from journal.findings.panel_tests import LEVEL, pooled_tail
from journal.keeping import Journal
from journal.keeping.session_rows import PanelScore
from journal.wording import text_of, worded
from journal.wording.panel import (
    agreed_defect_words,
    agreement_words,
    answers_right_words,
    member_words,
    order_words,
    size_of_panel_words,
    who_words,
)


@dataclass(frozen=True)
class PersonRead:
    """One assessor by name; how many answers of panel tests were right, of how many, and the
    chance of that by guessing."""

    name: str
    member: Member
    right: int = 0
    answers: int = 0
    p: float = 1.0

    @property
    def can_tell(self) -> bool:
        """Told cheeses apart in tests, or orders them as the others do, beyond chance."""
        return self.p <= LEVEL or self.member.low > 0


@dataclass(frozen=True)
class Cups:
    """What one assessor gave the cups of one cheese served more than once in a session."""

    assessor: str
    cheese: str
    at_ms: int
    given: tuple[float, ...]


@dataclass(frozen=True)
class PanelRead:
    """All that is shown of the panel for one attribute: three sentences, then the numbers."""

    attribute: str
    rows: Sequence[PersonRead]
    cups: Sequence[Cups]
    agreement: OrdinalAgreement | None
    who: str
    agree: str
    size: str
    people: Sequence[str]
    mean: str
    defects: str


def read_panel(journal: Journal, attribute: str) -> PanelRead | None:
    """The panel over all revealed sessions; None before two people scored."""
    given = journal.sessions.for_panel(attribute)
    names = sorted({one.assessor for one in given})
    if len(names) < 2:
        return None
    who = [names.index(one.assessor) for one in given]
    cheeses = list(dict.fromkeys((one.tasting_id, one.cheese) for one in given))
    cheese = [cheeses.index((one.tasting_id, one.cheese)) for one in given]
    sample, score = [one.sample_id for one in given], [one.value for one in given]
    found = members(who, sample, cheese, score)
    rows = [_person(journal, names[one.assessor], one) for one in found]
    agreement, agree = _order(who, sample, score)
    return PanelRead(
        attribute,
        rows,
        cups_of(given),
        agreement,
        who_words([row.name for row in rows if row.can_tell],
                  [row.name for row in rows if not row.can_tell]),
        agree,
        size_of_panel_words(len(names)),
        [" ".join(filter(None, (member_words(row.member, row.name),
                                answers_right_words(row.name, row.right, row.answers, row.p))))
         for row in rows],
        _agree(who, sample, score),
        agreed_defect_words(defect_agreement(_tasted(given), journal.sessions.named_defects())),
    )  # fmt: skip


def _person(journal: Journal, name: str, member: Member) -> PersonRead:
    tests = [(one.kind, one.right, one.answers)
            for one in journal.tests.by_person() if one.assessor == name]  # fmt: skip
    right, answers = sum(one[1] for one in tests), sum(one[2] for one in tests)
    return PersonRead(name, member, right, answers, pooled_tail(tests))


def _order(
    who: list[int], sample: list[int], score: list[float]
) -> tuple[OrdinalAgreement | None, str]:
    """How far all put the samples in one order, and that in words."""
    samples = list(dict.fromkeys(sample))
    table = np.full((len(samples), max(who) + 1), np.nan)
    for person, one, value in zip(who, sample, score, strict=True):
        table[samples.index(one), person] = value
    try:
        found = ordinal_agreement(table)
    except FindingError as error:
        return None, text_of(error)
    return found, order_words(found)


def cups_of(given: Sequence[PanelScore]) -> list[Cups]:
    """The repeats: every cheese that an assessor got more than once in one session."""
    found: dict[tuple[int, str, str], list[PanelScore]] = {}
    for one in given:
        found.setdefault((one.tasting_id, one.cheese, one.assessor), []).append(one)
    return [
        Cups(who, cheese, cups[0].at_ms, tuple(one.value for one in cups))
        for (_, cheese, who), cups in found.items()
        if len({one.sample_id for one in cups}) > 1
    ]


def _tasted(given: Sequence[PanelScore]) -> dict[int, set[str]]:
    out: dict[int, set[str]] = {}
    for one in given:
        out.setdefault(one.sample_id, set()).add(one.assessor)
    return out


def _agree(who: list[int], sample: list[int], score: list[float]) -> str:
    table, people = complete_table(who, sample, score)
    if not table.size:
        return worded("reports.too-few-to-agree")
    try:
        return agreement_words(intraclass(table), len(people))
    except FindingError as error:
        return text_of(error)
