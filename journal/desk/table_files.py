"""A list saved as a table for a spreadsheet."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtWidgets import QWidget

from journal.desk import dialogs
from journal.desk.messages import report
from journal.exchange import ExchangeError
from journal.exchange.tables_out import CSV, write_table
from journal.wording import worded


def save_table(
    owner: QWidget, name: str, ending: str, titles: Sequence[str], cells: Sequence[Sequence[str]]
) -> None:
    """Ask where, write the table there, and say above its list that it is saved, or why not."""
    kinds = dialogs.CSV if ending == CSV else dialogs.XLSX
    path = dialogs.ask_save(owner, "Save the list", kinds, f"{name.lower()}{ending}")
    if not path:
        return
    path = path if path.lower().endswith(ending) else path + ending
    try:
        write_table(path, name, titles, cells)
    except (OSError, ExchangeError) as error:
        words = worded("desk.list-not-saved", file=Path(path).name, why=error)
        report(owner, words, attention=True)
    else:
        report(owner, worded("desk.saved-as", path=path), attention=False)
