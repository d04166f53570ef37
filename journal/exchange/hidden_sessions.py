"""What an export for tasters leaves out: all that is still hidden."""

from __future__ import annotations

from typing import Any

_OF_SAMPLES = ("score", "defect_mark", "sample_note", "serving")


def without_hidden(nouns: dict[str, list[Any]]) -> dict[str, list[Any]]:
    """The records by noun without those of sessions and panel tests that are not revealed.

    That there is such a session or test stays; which cheese is which code, and what was scored or
    answered, is left out.
    """
    sessions = {t.id for t in nouns["tasting"] if t.hidden}
    tests = {t.id for t in nouns["panel_test"] if t.lifted_ms is None}
    samples = {s.id for s in nouns["sample"] if s.tasting_id in sessions}
    out = dict(nouns)
    out["sample"] = [s for s in nouns["sample"] if s.id not in samples]
    for noun in _OF_SAMPLES:
        out[noun] = [one for one in nouns[noun] if one.sample_id not in samples]
    for noun in ("panel_item", "panel_set"):
        out[noun] = [one for one in nouns[noun] if one.panel_test_id not in tests]
    return out
