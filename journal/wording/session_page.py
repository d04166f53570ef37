"""What an assessor's own page says: a session scored elsewhere, on their own phone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from journal.wording import worded
from journal.wording.style import style_in_use

if TYPE_CHECKING:
    from journal.keeping.session_rows import BlindSessionRow

_TEXTS = {
    "how": "wording.page-how", "care": "wording.page-care", "title": "wording.page-title",
    "whose": "wording.page-for", "without": "wording.page-without-script",
    "forgets": "wording.page-forgets", "heading": "wording.page-heading",
    "send_it": "wording.page-send-it", "line": "wording.page-line", "send": "wording.page-send",
    "copy": "wording.page-copy", "save": "wording.page-save", "finish": "wording.page-finish",
}  # fmt: skip
_SAID_LATER = {
    "wrong": "wording.page-wrong", "far": "wording.page-far", "nothing": "wording.page-nothing",
    "left": "wording.page-left", "whole": "wording.page-whole", "copied": "wording.page-copied",
    "select": "wording.page-select", "saved": "wording.page-saved",
}  # fmt: skip
_FILLED_LATER = {name: f"{{{name}}}" for name in ("done", "all", "left", "file")}


def page_texts(day: str, assessor: str) -> dict[str, str]:
    """The texts of the page, and its language."""
    texts = {key: worded(one, day=day, assessor=assessor) for key, one in _TEXTS.items()}
    return {"language": style_in_use().language, **texts}


def said_later() -> dict[str, str]:
    """What the page says as it is filled in; it fills what stands in braces."""
    return {key: worded(one, **_FILLED_LATER) for key, one in _SAID_LATER.items()}


def sample_texts(place: int, many: int) -> dict[str, str]:
    """Where one is, "Sample 2 of 4", and what its note is called."""
    place_text = worded("wording.page-sample", place=place, many=many)
    return {"place": place_text, "note": worded("wording.page-note")}


def score_texts(attribute: str, code: str) -> dict[str, str]:
    """What a field and the buttons beside it are of, for a screen reader."""
    ids = {"says": "wording.page-score", "less": "wording.page-less", "more": "wording.page-more"}
    return {key: worded(one, attribute=attribute, code=code) for key, one in ids.items()}


def scale_ends_words(words: dict[float, str]) -> str:
    """What the ends of a scale mean; "" where they have no words."""
    ends = [(value, words[value]) for value in (min(words), max(words))] if len(words) > 1 else []
    return " · ".join(f"{value:g} {text}" for value, text in ends)


def far(row: BlindSessionRow) -> str:
    """How far a session is, for a list: "12 of 24 scored", "revealed"."""
    which = "wording.revealed" if row.tasting.lifted_ms else "wording.page-far"
    return worded(which, done=row.given, all=row.servings)
