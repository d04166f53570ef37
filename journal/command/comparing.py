"""A make beside others: what was different, with the figures, as Compare says it."""

from __future__ import annotations

import argparse
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from journal.command.answer import CommandAnswer
from journal.command.error import CommandError
from journal.command.parser import FILE, MAKE, CommandOption, command, switch
from journal.command.values import make_id, to_read, to_write
from journal.wording import text_of

if TYPE_CHECKING:
    from journal.findings.different import Different
    from journal.keeping import MakeRow
    from journal.reports.comparison import Compared, CurveDeparture
    from journal.reports.comparison_choice import ComparisonChoice


@command(
    "compare",
    "say what was different in a make beside others",
    FILE,
    MAKE,
    CommandOption(
        "--others",
        "plan, culture, milk, season or best; or makes' codes with commas between, scored or not; "
        "or words to find them by, like “goat >7 2026”; as Compare has it if left out",
        "WHICH",
    ),
    switch("--keep", "compare it in this way from now on, in the window too"),
)
def _compare(args: argparse.Namespace) -> CommandAnswer:
    from journal.background import State
    from journal.reports.comparison import ComparisonRequest, compare
    from journal.reports.comparison_choice import MOST, choice_of, chosen, keep_choice

    with (to_write if args.keep else to_read)(args.file) as journal:
        key = make_id(journal.makes.by_code(args.make))
        rows = journal.makes.rows()
        mine = next(row for row in rows if row.id == key)
        choice = choice_of(journal, key)
        if args.others is not None:
            choice = _choice(choice, args.others, rows)
        fitting = chosen(rows, mine, choice)
        found = compare(
            journal, ComparisonRequest(mine, tuple(fitting[:MOST])), State(lambda *_: None)
        )
        if args.keep:
            keep_choice(journal, key, choice, "by")
    if found is None:
        raise CommandError("command.comparison-stopped")
    return CommandAnswer(_data(found, choice, len(fitting)), _text(found, len(fitting)))


def _choice(before: ComparisonChoice, asked: str, rows: list[MakeRow]) -> ComparisonChoice:
    """What `--others` asks for."""
    from journal.reports.comparison_choice import HAND, RULES, TEXT

    words = asked.strip()
    if words in RULES and words not in (HAND, TEXT):
        return replace(before, by=words)
    codes = {row.code.casefold(): row.code for row in rows}
    named = words.replace(",", " ").casefold().split()
    if named and all(name in codes for name in named):
        return replace(before, by=HAND, makes=tuple(codes[name] for name in named))
    return replace(before, by=TEXT, text=words)


def _data(found: Compared, choice: ComparisonChoice, fitting: int) -> dict[str, Any]:
    from journal.reports.compared_words import head_of

    head = head_of(found)
    return {
        "make": found.mine.row.code,
        "heading": head.title,
        "failed": head.failed or None,
        "others_by": choice.by,
        "others": [one.row.code for one in found.others],
        "others_fitting": fitting,
        "different": [_different(row) for row in found.rows],
        "left": [_left(left) for left in found.left],
        "likeness": [
            {"make": one.row.code, "apart": found.likeness[one.row.id].steps}
            for one in found.others
        ],
    }


def _different(row: Different) -> dict[str, Any]:
    from journal.findings.different import CONSEQUENCE

    fact = row.fact
    return {
        "fact": text_of(fact.what),
        "value": fact.kind or fact.value,
        "unit": fact.unit or None,
        "usual": row.usual_kind or row.usual,
        "low": None if row.spread is None else row.low,
        "high": None if row.spread is None else row.high,
        "z": row.z,
        "unusual": row.unusual,
        "judged": fact.theme != CONSEQUENCE,
        "makes": row.makes,
    }


def _left(left: CurveDeparture) -> dict[str, Any]:
    away = left.departure
    return {
        "reading": left.kind,
        "as_usual": away.as_usual,
        "stage": left.stage or None,
        "from_min": away.from_position,
        "to_min": away.to_position,
        "apart": away.apart,
        "chance": away.chance,
    }


def _text(found: Compared, fitting: int) -> str:
    from journal.findings.different import standing_out
    from journal.reports.compared_words import head_of
    from journal.wording.compare import by_chance_text, different_text, fact_text, range_text
    from journal.wording.comparison_choice import which_text

    head, failed = head_of(found), sum(one.row.failed for one in found.others)
    lines = [head.title, which_text(len(found.others), fitting, failed), head.how_many]
    lines += [head.failed] if head.failed else []
    first = standing_out(found.rows)
    lines += [f"· {different_text(row)}" for row in first]
    lines += list(head.left)
    rest = [row for row in found.rows if row not in first]
    if rest:
        lines += ["", by_chance_text(found.rows)]
        lines += [
            f"  {text_of(row.fact.what)}: {fact_text(row.fact)}"
            + (f", {range_text(row)}" if range_text(row) else "")
            for row in rest
        ]
    return "\n".join(lines)


COMMANDS = (_compare,)
