"""The first letter of a text, large or small."""

from __future__ import annotations


def capital(text: str) -> str:
    """A text with its first letter large; pH keeps its own."""
    return text if text[1:2].isupper() else text[:1].upper() + text[1:]


def small(text: str) -> str:
    """The first letter small, unless it begins a word that is written large."""
    return text if text[1:2].isupper() else text[:1].lower() + text[1:]
