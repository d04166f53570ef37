"""What is printed: the make sheet to fill with a pencil at the vat, and the record of a make.

Here: a page in millimetres (paper), blocks laid onto pages (flow), tables, the curve as it is
drawn on paper, and the two documents made of them. Each is a PDF of lines and letters, told
apart by dash and label so that a grey printer says all of it. Not here: asking where a file
goes (the places and the command line do), any sum, anything of the screen's charts.
"""

from __future__ import annotations

from journal.desk.sheets.paper import PAPERS, SheetError, paper_here
from journal.desk.sheets.record import make_record
from journal.desk.sheets.vat_sheet import make_sheet

__all__ = ["PAPERS", "SheetError", "make_record", "make_sheet", "paper_here"]
