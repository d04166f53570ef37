"""How sure a finding is, as it is shown; `--json` has the keys of `findings/evidence.py`."""

from __future__ import annotations

WORDS_OF = {"leaning": "may matter", "can't tell yet": "undecided"}


def evidence_words(evidence: str) -> str:
    """The word of a kind of evidence: "clear", "may matter", "undecided"."""
    return WORDS_OF.get(evidence, evidence)
