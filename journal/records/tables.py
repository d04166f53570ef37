"""The published tables that come with the program, read as columns."""

from __future__ import annotations

import csv

from journal.records import RecordError
from journal.records.own_files import own_file

TextColumns = dict[str, list[str]]


def table(name: str) -> TextColumns:
    """A table of `resources/tables` as text, one list a column, rows in their order.

    Each of these tables has a column `source` that says where the row was published.

    Parameters
    ----------
    name
        Such as "brine_density".

    Raises
    ------
    RecordError
        When the installation lacks the table or a row has too few or too many cells.
    """
    with own_file("tables", f"{name}.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    head, body = rows[0], rows[1:]
    if any(len(row) != len(head) for row in body):
        raise RecordError("records.table-damaged", name=name)
    return {name: [row[i] for row in body] for i, name in enumerate(head)}
