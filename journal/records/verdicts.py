"""What was said of eating a cheese, from the moment it was first said."""

from __future__ import annotations

import json
from dataclasses import dataclass


@dataclass(frozen=True)
class Verdict:
    """That a make is not to be eaten: the sentence, and when it was first said."""

    at_ms: int
    sentence: str

    def written(self) -> str:
        """The verdict as it is kept."""
        return json.dumps([self.at_ms, self.sentence])


def verdict_key(uuid: str) -> str:
    """The setting of the journal under which the verdict on a make is kept."""
    return f"verdict {uuid}"


def read_verdict(kept: str | None) -> Verdict | None:
    """A verdict as it was kept, None without one."""
    if kept is None:
        return None
    at_ms, sentence = json.loads(kept)
    return Verdict(int(at_ms), str(sentence))
