"""The groups of the vat's commands, as they stand in its menu and in that of what is drawn."""

from __future__ import annotations

STAGE, READINGS, TIMERS, NOTES, CHECKS, WHOLE = (
    "stage", "reading", "timer", "note", "check", "whole",
)  # fmt: skip
