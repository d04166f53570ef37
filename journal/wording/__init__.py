"""How anything is written for a person: dates, spans, amounts, doses, stages, messages.

Here: functions that write one thing one way, for window, paper, command and export alike, and the
sentences of every message (`messages/`, one file a room below). All take a `Style`: units, clock
and language. No Qt, no SQL. Not here: what reads typed text (quantities, records), what is so
(the rooms below), where it is shown (desk, command).
"""

from journal.wording.sentences import text_if_any, text_of
from journal.wording.style import PLAIN, Style

__all__ = ["PLAIN", "Style", "text_if_any", "text_of"]
