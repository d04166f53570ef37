"""What is printed: the make sheet to fill with a pencil at the vat, and the record of a make."""

from __future__ import annotations

from journal.desk.sheets.paper import PAPERS, SheetError, paper_here
from journal.desk.sheets.record import make_record
from journal.desk.sheets.vat_sheet import make_sheet

__all__ = ["PAPERS", "SheetError", "make_record", "make_sheet", "paper_here"]
