"""No time limit for one example: the first conversion of a run also makes the registry."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")
