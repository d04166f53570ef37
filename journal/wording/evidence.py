"""How sure a finding is, as it is shown; `--json` has the keys of `findings/evidence.py`."""

from __future__ import annotations

from journal.wording.sentences import worded

WORDS_OF = {
    "clear": "wording.evidence-clear",
    "leaning": "wording.evidence-may-matter",
    "can't tell yet": "wording.evidence-undecided",
    "hardly varied": "wording.evidence-hardly-varied",
    "never varied": "wording.evidence-never-varied",
    "not known": "wording.evidence-not-known",
}


def evidence_words(evidence: str) -> str:
    """The word of a kind of evidence: "clear", "may matter", "undecided"."""
    return worded(WORDS_OF[evidence])
