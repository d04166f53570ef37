"""A journal goes to another computer as a bundle, and copies of it become one again."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from typing import Any

from journal.command.answer import CommandAnswer, Value, answer, text_only
from journal.command.parser import FILE, CommandOption, command, switch
from journal.command.values import to_read, to_write
from journal.records.instants import now_ms
from journal.wording import worded


@command(
    "bundle",
    "write a journal, its photos and plans as one zip file",
    FILE,
    CommandOption("out", "the file to write", "OUT.vatside.zip"),
)
def _bundle(args: argparse.Namespace) -> CommandAnswer:
    from journal.exchange.bundle import write_bundle

    with to_read(args.file) as journal:
        made = write_bundle(journal, args.out)
    return answer("command.bundled", path=str(made.path), photos=made.photos, plans=made.plans)


@command(
    "unbundle",
    "take a journal with its photos and plans out of a bundle",
    CommandOption("zip", "the bundle", "ZIP"),
    CommandOption("dir", "the folder to put them into", "DIR"),
)
def _unbundle(args: argparse.Namespace) -> CommandAnswer:
    from journal.exchange.bundle import read_bundle

    made = read_bundle(args.zip, args.dir)
    return answer("command.unbundled", path=str(made.path), photos=made.photos, plans=made.plans)


@command(
    "merge",
    "take what another copy of a journal has",
    FILE,
    CommandOption("other", "the other copy", "OTHER"),
    switch("--dry-run", "say what would come, and change nothing"),
)
def _merge(args: argparse.Namespace) -> CommandAnswer:
    from journal.wording.merging import (
        came_words,
        difference_words,
        renamed_words,
        stay_words,
    )

    with to_read(args.other) as other, (to_read if args.dry_run else to_write)(args.file) as here:
        found = here.merging(other) if args.dry_run else here.merge(other, now_ms())
        zone = here.zone
    came = came_words(found) or [worded("command.nothing-new")]
    kept, first = "", [worded("command.nothing-changed")] if args.dry_run else []
    if found.backup is not None:
        kept = worded("command.was-there-before", path=found.backup.path)
    return answer(
        ("{text}", "{codes}", "{stays}", "{differs}", "{kept}"),
        came=Value(dict(found.came), ""),
        changed=Value(dict(found.changed), ""),
        deleted=Value(dict(found.went), ""),
        readings=Value(found.readings, ""),
        photos=Value(found.photos, ""),
        text=text_only("\n".join([*first, *came])),
        codes=_listing(found.renamed, ("noun", "was", "now"), renamed_words),
        stays=_listing(found.stay, ("noun", "about", "deleted_here"), stay_words),
        differs=_listing(
            found.differences, ("noun", "about", "column", "stands", "other", "from_here"),
            lambda one: difference_words(one, zone),
        ),
        backup=None if found.backup is None else str(found.backup.path),
        kept=text_only(kept),
    )  # fmt: skip


def _listing(found: Sequence[Any], keys: Sequence[str], words: Callable[[Any], str]) -> Value:
    """What has to be looked at: records, and a sentence each."""
    return Value([{key: getattr(one, key) for key in keys} for one in found],
                 "\n".join(map(words, found)))  # fmt: skip


COMMANDS = (_bundle, _unbundle, _merge)
