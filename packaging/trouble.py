"""What setting up tells a person: its progress, and what went wrong."""

from __future__ import annotations

import sys


class Trouble(Exception):
    """What went wrong and what to do, in one or two sentences."""


def say(sentence: str) -> None:
    """Report progress; standard output stays free for the answer that was asked for."""
    print(sentence, file=sys.stderr, flush=True)


def last_line(text: str) -> str:
    """Give the last line that says something, for a failure nobody foresaw."""
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    return lines[-1] if lines else "it gave no reason."
