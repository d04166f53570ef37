"""How anything is written for a person: dates, spans, amounts, doses, stages, messages."""

from journal.wording.sentences import text_if_any, text_of, word_of, worded
from journal.wording.style import Style, use_style, written_in

__all__ = ["Style", "text_if_any", "text_of", "use_style", "word_of", "worded", "written_in"]
