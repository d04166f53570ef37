"""The panel, read from the journal's revealed sessions, in friendly words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from journal.findings import FindingError
from journal.findings.agreement import (
    Member,
    complete_table,
    defect_agreement,
    intraclass,
    members,
)
from journal.keeping import Journal
from journal.keeping.sessions import PanelScore
from journal.wording import text_of
from journal.wording.panel import agreement_words, defect_words, fitting_words, member_words


@dataclass(frozen=True)
class PersonRead:
    """One assessor by name."""

    name: str
    member: Member


@dataclass(frozen=True)
class Cups:
    """What one assessor gave the cups of one cheese served more than once in a session."""

    assessor: str
    cheese: str
    at_ms: int
    given: tuple[float, ...]


@dataclass(frozen=True)
class PanelRead:
    """All that is shown of the panel for one attribute."""

    attribute: str
    rows: Sequence[PersonRead]
    cups: Sequence[Cups]
    agree: str
    people: Sequence[str]
    defects: str
    fitting: str


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
    rows = [PersonRead(names[one.assessor], one) for one in found]
    return PanelRead(
        attribute,
        rows,
        cups_of(given),
        _agree(who, sample, score),
        [member_words(row.member, row.name) for row in rows],
        defect_words(defect_agreement(_tasted(given), journal.sessions.named_defects())),
        fitting_words(len(names)),
    )


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
        return "Too few samples were scored by the same people to say how far you agree."
    try:
        return agreement_words(intraclass(table), len(people))
    except FindingError as error:
        return text_of(error)
