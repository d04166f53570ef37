"""Which events were shown at the vat and which were acknowledged, saved so that none is shown
twice, also after a restart."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any

from PySide6.QtCore import QSettings

from journal.curves.shown_events import Acknowledged, ShownEvent

_KEY, _MAKES_MOST = "vat/heard", 6


def acknowledged_of(settings: QSettings, uuid: str) -> Acknowledged:
    """What was dismissed of a make, as it was stored."""
    return _saved(settings).get(uuid, Acknowledged())


def save_acknowledged(settings: QSettings, uuid: str, acknowledged: Acknowledged) -> None:
    """Store what was dismissed of a make; only the last few makes are stored."""
    every = _saved(settings)
    every.pop(uuid, None)
    every[uuid] = acknowledged
    newest = dict(list(every.items())[-_MAKES_MOST:])
    settings.setValue(_KEY, json.dumps({key: _row(one) for key, one in newest.items()}))


def _row(acknowledged: Acknowledged) -> dict[str, Any]:
    """As it is stored; the events under the key that all releases read."""
    row = asdict(acknowledged)
    row["told"] = row.pop("shown")
    return row


def _saved(settings: QSettings) -> dict[str, Acknowledged]:
    try:
        rows = json.loads(str(settings.value(_KEY, "{}", type=str)))
        return {
            key: Acknowledged(
                tuple(ShownEvent(**one) for one in row["told"]),
                tuple((int(run), int(at)) for run, at in row["turned"]),
                bool(row["slow"]),
            )
            for key, row in rows.items()
        }
    except (ValueError, TypeError, KeyError, AttributeError):
        return {}  # of another program's making: everything is said once more
