"""A statement that goes on until it is broken off, for tests of what nobody must wait for."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from threading import Event

ENDLESS = """
with recursive n (x) as (select 1 union all select x + 1 from n) select max(x), 1, 1 from n
"""


def endless(begun: Event) -> Callable[[sqlite3.Connection, str], list[object]]:
    """What looks at the rows of a table for ever, and says that it has begun."""

    def looks(db: sqlite3.Connection, _table: str) -> list[object]:
        begun.set()
        return db.execute(ENDLESS).fetchall()

    return looks
