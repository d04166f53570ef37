"""What a person calls the records of each table, and who changed them."""

from __future__ import annotations

_RECORDS = {
    "addition": "ingredient used",
    "air_check": "check of a hygrometer",
    "air_reading": "reading of the air",
    "assessor": "person",
    "away": "days away",
    "bin": "deleted record",
    "brine_event": "act on a brine",
    "brine_stay": "stay in a brine",
    "calibration": "check of an instrument",
    "care": "care of a wheel",
    "care_rule": "care of a plan",
    "comparison": "choice of other makes",
    "defect_mark": "defect",
    "entered": "own number",
    "gate": "acid target",
    "ingredient": "lot",
    "milk_lot": "lot of milk",
    "milk_use": "milk used",
    "own_care": "care of an own schedule",
    "panel_item": "cheese of a test",
    "panel_set": "answer of a test",
    "panel_test": "test",
    "reading_block": "readings",
    "reading_log": "reading",
    "sample": "cheese of a session",
    "sample_note": "remark on a cheese",
    "scale_word": "word of a scale",
    "series_make": "make of a series",
    "serving": "cup",
    "source": "sensor",
    "stage_run": "stage",
    "taken": "part taken",
    "tasting": "session",
    "tick": "ticked line",
    "trace": "readings",
    "weighing": "weight",
}
_SEATS = {
    "window": "a window",
    "command": "a command",
    "restore": "a restored backup",
    "bin": "the bin",
    "copy": "another copy",
}


def record_word(noun: str) -> str:
    """A record by its table: "weight" of "weighing"."""
    return _RECORDS.get(noun, noun.replace("_", " "))


def seat_word(seat: str) -> str:
    """Who did an act: "a window"."""
    return _SEATS.get(seat, "another program")
