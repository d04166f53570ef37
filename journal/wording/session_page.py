"""What an assessor's own page says: a session scored elsewhere, on their own phone."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from journal.keeping.session_rows import BlindSessionRow

LANGUAGE = "en"
HOW = (
    "Taste in this order, from 0 to 10 in halves. Take water and plain bread between. "
    "Leave empty what you cannot say."
)
CARE = (
    "Ask first what the cheeses are made of if you are pregnant, old or ill, or have an allergy: "
    "cheese of raw milk, and soft or mouldy cheese, is not for everyone."
)
WITHOUT_SCRIPT = (
    "This page needs a browser that runs scripts. Save the file, then open it with your browser."
)
FORGETS = (
    "This browser cannot remember what you type: do not close the page before you have sent it."
)
NOTE = "Note"
FINISH = "Finish"
HEADING = "Your answer"
SEND_IT = (
    "Send this line to whoever set up the session, as a message or as a file. It tells nobody else "
    "what you gave."
)
LINE = "The line to send"
SEND, COPY, SAVE = "Send…", "Copy", "Save as a file"
IN_PAGE = {
    "wrong": "0 to 10, in halves",
    "far": "{done} of {all} scored",
    "nothing": "Nothing is scored yet.",
    "left": "{left} not scored: you can still add them.",
    "whole": "Everything is scored.",
    "copied": "Copied.",
    "select": "Select the line and copy it.",
    "saved": "Saved as {file} among your downloads.",
}


def title_words(day: str) -> str:
    """The page's own name."""
    return f"Cheese tasting of {day}"


def for_words(assessor: str) -> str:
    """Whose page it is."""
    return f"For {assessor}"


def place_words(place: int, many: int) -> str:
    """Where one is: "Sample 2 of 4"."""
    return f"Sample {place} of {many}"


def step_words(more: bool, attribute: str, code: str) -> str:
    """What a button beside a score does, for who hears it."""
    return f"{'More' if more else 'Less'} {attribute} for {code}"


def score_words(attribute: str, code: str) -> str:
    """What a field is of, for who hears it."""
    return f"{attribute} of {code}, 0 to 10"


def ends_words(words: dict[float, str]) -> str:
    """What the ends of a scale mean; "" where they have no words."""
    ends = [(value, words[value]) for value in (min(words), max(words))] if len(words) > 1 else []
    return " · ".join(f"{value:g} {text}" for value, text in ends)


def far(row: BlindSessionRow) -> str:
    """How far a session is, for a list: "12 of 24 scored", "revealed"."""
    given = IN_PAGE["far"].format(done=row.given, all=row.servings)
    return "revealed" if row.tasting.lifted_ms else given
