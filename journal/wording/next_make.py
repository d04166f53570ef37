"""The next make in words: its changes a line each, what it should score, and its manner."""

from __future__ import annotations

from typing import TYPE_CHECKING

from journal.wording.letters import capital
from journal.wording.sentences import text_of, word_of, worded

if TYPE_CHECKING:
    from journal.findings.next_make import Proposal


def proposal_kind(kind: str) -> str:
    """A manner of proposing, as a button names it."""
    return word_of("wording.manner-", kind)


def year_words(a_year: float) -> str:
    """How many makes a year the maker says there are."""
    return worded("wording.next-a-year", makes=round(a_year))


def year_question(a_year: float) -> str:
    """Asks for it, where so far only the days of the makes tell."""
    return worded("wording.next-how-many-a-year", makes=round(a_year))


def change_lines(proposal: Proposal) -> list[str]:
    """Each change with its reason and what it costs if it is wrong."""
    shown = proposal.kept if proposal.kind == "best" else proposal.changes
    return [f"{capital(text_of(one.title))}: {text_of(one.reason)}" for one in shown]


def expected_score(proposal: Proposal) -> str:
    """What the make should score."""
    score = proposal.score
    return worded("wording.next-should-score", mean=score.mean, low=score.low80, high=score.high80)


def proposal_notes(proposal: Proposal) -> list[str]:
    """What is to be known beside the changes: from how many makes, what the best known plan
    changes, and that the acid is to be watched."""
    sentences = [text_of(proposal.reason)]
    if proposal.kept and proposal.kind != "best":
        sentences.append(worded("wording.next-best-has", changes=len(proposal.kept)))
    if any(one.mind_acid for one in (*proposal.changes, *proposal.kept)):
        sentences.append(worded("wording.next-mind-acid"))
    return sentences
