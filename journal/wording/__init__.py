"""How anything is written for a person: dates, spans, amounts, doses, stages, messages."""

from journal.wording.sentences import text_if_any, text_of
from journal.wording.style import PLAIN, Style

__all__ = ["PLAIN", "Style", "text_if_any", "text_of"]
