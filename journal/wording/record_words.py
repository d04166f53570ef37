"""What a person calls the records of each table, and who changed them."""

from __future__ import annotations

from journal.wording.own_words import own_words


def record_word(noun: str) -> str:
    """A record by its table: "weight" of "weighing"."""
    return str(own_words("tables")["records"].get(noun, noun.replace("_", " ")))


def seat_word(seat: str) -> str:
    """Who did an act: "a window"."""
    seats = own_words("tables")["seats"]
    return str(seats.get(seat, seats["other"]))
