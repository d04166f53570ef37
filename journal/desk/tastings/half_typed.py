"""What is typed under the cloth and at panel tests and not kept yet; it outlives the window."""

from __future__ import annotations

import json
from typing import Any

from journal.keeping import Journal, KeepingError

SETTING = "half typed at tastings"
BOARDS = "boards"  # the group of what is being laid out


class HalfTyped:
    """Texts by group (a sitting's or a test's UUID) and key, in the journal's file."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self._written = journal.setting(SETTING) or ""
        self._held = _read(self._written)

    def groups(self) -> list[str]:
        """Of what there is something half typed, the oldest first."""
        return list(self._held)

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
        """Write it down, as far as it changed; what was refused is said, to be written the next
        time."""
        text = json.dumps(self._held, ensure_ascii=False) if self._held else ""
        if text == self._written:
            return ""
        try:
            self._journal.set_setting(SETTING, text)
        except KeepingError as error:
            return str(error)
        self._written = text
        return ""


def _read(text: str) -> dict[str, dict[str, Any]]:
    try:
        found = json.loads(text or "{}")
    except ValueError:
        return {}
    groups = found if isinstance(found, dict) else {}
    return {str(key): dict(held) for key, held in groups.items() if isinstance(held, dict) and held}
