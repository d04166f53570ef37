"""What is sent to others: a make as one page or as a chart, the list of makes as a table."""

from __future__ import annotations

import argparse

from journal.command.answer import CommandAnswer, answer
from journal.command.parser import FILE, MAKE, CommandOption, command
from journal.command.sheets import file_named
from journal.command.values import make_id, to_read

_CHART_WIDE, _CHART_HIGH = 1200, 720  # px


@command(
    "make-page",
    "write a make with its photos as one HTML page to send, which needs no other file",
    FILE,
    MAKE,
    CommandOption("out", "the page to write", "OUT.html"),
)
def _page(args: argparse.Namespace) -> CommandAnswer:
    from journal.desk.makes.sent_page import write_sent_page

    out = file_named(args.out, (".html", ".htm"), "make")
    with to_read(args.file) as journal:
        whole = journal.whole(make_id(journal.makes.by_code(args.make)))
        write_sent_page(journal, whole, out)
    return answer("command.wrote-page", code=whole.make.code, file=args.out)


@command(
    "make-chart",
    "write the chart of a make as SVG, PNG or PDF, with its title, units and source",
    FILE,
    MAKE,
    CommandOption("out", "the picture to write: .svg, .png or .pdf", "OUT"),
)
def _chart(args: argparse.Namespace) -> CommandAnswer:
    out = file_named(args.out, (".svg", ".png", ".pdf"), "make")
    with to_read(args.file) as journal:
        whole = journal.whole(make_id(journal.makes.by_code(args.make)))
        name = journal.path.stem
    from journal.desk.makes.saved_chart import save_make_chart
    from journal.desk.undisplayed import application

    kept_for_qt = application(never_shown=True)
    save_make_chart(whole, out, name, (_CHART_WIDE, _CHART_HIGH))
    del kept_for_qt
    return answer("command.wrote-chart", code=whole.make.code, file=args.out)


@command(
    "makes-table",
    "write the list of makes as CSV or XLSX, safe in a spreadsheet",
    FILE,
    CommandOption("out", "the table to write: .csv or .xlsx", "OUT"),
    CommandOption("--filter", "only makes that fit, like “cheddar >7 2026 goat”", "WORDS"),
)
def _table(args: argparse.Namespace) -> CommandAnswer:
    from journal.exchange.tables_out import write_table
    from journal.reports.make_filter import filter_of
    from journal.reports.makes_table import cells_of, titles

    out = file_named(args.out, (".csv", ".xlsx"), "make")
    with to_read(args.file) as journal:
        found = list(filter(filter_of(args.filter or ""), journal.makes.rows()))
    write_table(out, "Makes", titles(), [cells_of(row) for row in found])
    return answer("command.wrote-makes", makes=len(found), file=args.out)


COMMANDS = (_page, _chart, _table)
