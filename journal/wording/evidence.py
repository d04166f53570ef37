"""How sure a finding is, as it is shown; `--json` has the keys of `findings/evidence.py`."""

from __future__ import annotations

from journal.wording.sentences import word_of


def evidence_words(evidence: str) -> str:
    """The word of a kind of evidence: "clear", "may matter", "undecided"."""
    return word_of("wording.evidence-", evidence)
