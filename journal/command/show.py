"""What is drawn: the window, pictures of every screen, the tour of the sample journal."""

from __future__ import annotations

import argparse
import os
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from journal.command.answer import CommandAnswer, Value, answer
from journal.command.asking import deviation_answer, forecast_answer
from journal.command.error import CommandError
from journal.command.parser import CommandOption, command
from journal.command.study import findings_answer
from journal.command.values import to_read
from journal.wording import worded

if TYPE_CHECKING:
    from journal.keeping import Journal

TOUR_PH = 5.4


@command(
    "pictures",
    "save pictures of every screen of a journal",
    CommandOption("out", "the folder the pictures go to", "OUT"),
    CommandOption("--journal", "a journal; the sample if left out", "FILE"),
)
def _pictures(args: argparse.Namespace) -> CommandAnswer:
    if args.journal is not None:
        to_read(args.journal).close()
    made = _draw(args.out, args.journal, tour=False)
    return answer("command.drew-pictures", folder=args.out, pictures=_names(made))


def _names(made: list[Path]) -> Value:
    return Value([path.name for path in made], worded("command.pictures", pictures=len(made)))


def _draw(out: str, path: str | Path | None, *, tour: bool) -> list[Path]:
    """Draw without a display, so that nothing flashes up."""
    folder = Path(out)
    if folder.exists() and not folder.is_dir():
        raise CommandError("command.pictures-into-file", file=out)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        raise CommandError("command.folder-not-made", folder=out) from None
    if not os.access(folder, os.W_OK):
        raise CommandError("command.folder-not-written", folder=out)
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from journal.desk.pictures import TOUR, draw_pictures

    if tour:
        return draw_pictures(folder, path, shots=TOUR, with_empty=False)
    return draw_pictures(folder, path, with_many=True)


@command(
    "tour",
    "save pictures of the sample journal and print its answers",
    CommandOption("out", "the folder the pictures go to", "OUTDIR"),
)
def _tour(args: argparse.Namespace) -> CommandAnswer:
    from journal.sample import write_sample

    with TemporaryDirectory() as folder:
        path = Path(folder) / "hollow-lane.vatside"
        write_sample(path)
        made = _draw(args.out, path, tour=True)
        with to_read(str(path)) as journal:
            parts = _report(journal)
    return answer(
        ("command.tour", "", "command.tour-deviation", "{deviation}",
         "", "command.tour-forecast", "{forecast}", "", "command.tour-findings", "{findings}"),
        folder=args.out,
        pictures=_names(made),
        **parts,
    )  # fmt: skip


def _report(journal: Journal) -> dict[str, CommandAnswer]:
    """The answers of the tour: the newest finished make, the newest make, every make."""
    rows = journal.makes.rows()
    finished = [row.code for row in rows if row.finished_ms is not None and not row.failed]
    newest = rows[0].code
    return {
        "deviation": deviation_answer(journal, finished[0] if finished else newest),
        "forecast": forecast_answer(journal, newest, TOUR_PH),
        "findings": findings_answer(journal, "overall"),
    }


COMMANDS = (_pictures, _tour)
