"""What is typed hidden and at panel tests and not kept yet; it outlives the window."""

from __future__ import annotations

import json
from typing import Any

from journal.desk.tastings.setting_text import SettingText
from journal.keeping import Journal
from journal.wording import worded
from journal.wording.dates import day_words
from journal.wording.keys import key_of

SETTING = "half typed at tastings"
BOARDS = "boards"  # the group of what is being set up


class UnsavedTexts:
    """Texts by group (a session's or a test's UUID) and key, in the journal's file."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self._setting = SettingText(journal, SETTING)
        self._held = _read(self._setting.text)

    def of(self, group: str) -> dict[str, Any]:
        """What is half typed in a group, by key."""
        return dict(self._held.get(group, {}))

    def put(self, group: str, key: str, what: Any) -> None:
        """Remember what is half typed; None: nothing is."""
        held = self._held.setdefault(group, {})
        held[key] = what
        if what is None:
            del held[key]
        if not held:
            del self._held[group]

    def write(self) -> str:
        """Write it down, as far as it changed; what was refused is said."""
        return self._setting.write(json.dumps(self._held, ensure_ascii=False) if self._held else "")

    def begun(self) -> list[str]:
        """At which sessions and tests something is half typed, in words."""
        if not self._held:
            return []
        days = [
            worded("desk.half-typed", what=words, day=day_words(one.at_ms, one.zone), keys=keys)
            for saved, words, keys in (
                (self._journal.tastings, "the blind session", key_of("part_2")),
                (self._journal.panel_tests, "the panel test", key_of("part_3")),
            )
            for one in saved.all()
            if one.uuid in self._held and one.lifted_ms is None
        ]
        boards = self.of(BOARDS)
        set_up = (
            ("sitting", worded("desk.a-blind-session")),
            ("test", worded("desk.a-panel-test")),
        )
        return days + [
            worded("desk.the-setup-of", what=words) for key, words in set_up if key in boards
        ]


def _read(text: str) -> dict[str, dict[str, Any]]:
    try:
        found = json.loads(text or "{}")
    except ValueError:
        return {}
    groups = found if isinstance(found, dict) else {}
    return {str(key): dict(held) for key, held in groups.items() if isinstance(held, dict) and held}
