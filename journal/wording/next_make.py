"""The next make in words: its changes a line each, what it should score, and its manner."""

from __future__ import annotations

from typing import TYPE_CHECKING

from journal.wording.counts import counted
from journal.wording.keys import key_words
from journal.wording.letters import capital
from journal.wording.sentences import text_of

if TYPE_CHECKING:
    from journal.findings.next_make import Proposal

_KINDS = {
    "careful": "Careful",
    "bold": "Bold",
    "one": "One change",
    "best": "Best known plan",
}


def kind_words(kind: str) -> str:
    """A manner of proposing, as a button names it."""
    return _KINDS[kind]


def year_words(a_year: float) -> str:
    """How many makes a year the maker says there are."""
    return f"{counted(round(a_year), 'make')} a year"


def year_question(a_year: float) -> str:
    """Asks for it, where so far only the days of the makes tell."""
    return f"How many makes a year? About {round(a_year)} so far…"


def change_lines(proposal: Proposal) -> list[str]:
    """Each change with its reason and what it costs if it is wrong."""
    shown = proposal.kept if proposal.kind == "best" else proposal.changes
    return [f"{capital(text_of(one.title))}: {text_of(one.reason)}" for one in shown]


def score_words(proposal: Proposal) -> str:
    """What the make should score."""
    score = proposal.score
    return (
        f"Should score {score.mean:.1f}, 8 times in 10 between {score.low80:.1f} and "
        f"{score.high80:.1f}."
    )


def beside_words(proposal: Proposal) -> list[str]:
    """What is to be known beside the changes: from how many makes, what the best known plan
    changes, and that the acid is to be watched."""
    sentences = [text_of(proposal.reason)]
    if proposal.kept and proposal.kind != "best":
        changes = counted(len(proposal.kept), "change")
        sentences.append(
            f"The best known plan has {changes} of its own ({key_words('best_known')})."
        )
    if any(one.mind_acid for one in (*proposal.changes, *proposal.kept)):
        sentences.append(
            "The acid may come faster or slower, and no forecast covers that: watch it."
        )
    return sentences
