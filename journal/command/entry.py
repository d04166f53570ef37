"""Where `vatside` begins: the command found and run, every fault turned into one sentence."""

from __future__ import annotations

import difflib
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from journal.command.error import CommandError
from journal.command.window import JOURNAL_FILES, open_window
from journal.wording import text_of, worded
from journal.wording.letters import small


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command, or open the window; returns the exit code.

    0 is done, 1 a journal that is not sound (`check`), 2 a fault, said in one sentence on
    standard error with nothing changed.
    """
    words = list(sys.argv[1:] if argv is None else argv)
    _speak_plainly()
    try:
        return _run(words)
    except BrokenPipeError:
        # Whatever read the output has closed it; drop what is still buffered.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        return _complain(worded("command.stopped"), 130)
    except Exception as error:
        message = _sentence_of(error)
        if message is None:
            raise
        return _complain(message, 2)


def _run(words: list[str]) -> int:
    if not words or (len(words) == 1 and _is_journal(words[0])):
        return open_window(words[0] if words else None)
    return _run_command(words)


def _is_journal(word: str) -> bool:
    """Whether it is a file for the window and cannot be a command."""
    path = Path(word)
    return path.suffix.lower() in JOURNAL_FILES and path.exists()


def _run_command(words: list[str]) -> int:
    from journal.command.answer import give
    from journal.command.groups import COMMANDS
    from journal.command.parser import build_parser, command_named, spelt_out, with_new_names
    from journal.exchange.chosen import keys_of_file, settings_path, style_of_file
    from journal.wording import use_style
    from journal.wording.keys import use_keys

    use_style(style_of_file(settings_path()))
    use_keys(keys_of_file(settings_path()))
    asked = command_named(words[0], COMMANDS)
    if asked is None and not words[0].startswith("-"):
        return open_window(_file_of(words))
    try:
        spelt = list(words) if asked is None else spelt_out(with_new_names(words, asked), asked)
        # At the end, so that places after it are still read as places.
        spelt.sort(key="--json".__eq__)
        known = COMMANDS if asked is None else (asked,)  # all of them take a while to build
        args = build_parser(known).parse_args(spelt)
    except SystemExit as done:  # --help and --version
        return int(done.code or 0)
    return give(args.run(args), as_json=args.json)


def _file_of(words: list[str]) -> str:
    """The one file to open the window on; refuses what is no file and no command."""
    from journal.command.groups import COMMANDS
    from journal.command.parser import command_named

    path = Path(words[0])
    if not path.exists():
        names = [name for one in COMMANDS for name in (one.name, one.formerly) if name]
        near = difflib.get_close_matches(words[0], names, n=1)
        meant = command_named(near[0], COMMANDS) if near else None
        if meant is None:
            raise CommandError("command.no-such-command", typed=words[0])
        raise CommandError("command.did-you-mean", typed=words[0], command=meant.name)
    if len(words) > 1:
        raise CommandError("command.one-journal-a-window")
    return words[0]


def _sentence_of(error: Exception) -> str | None:
    """The sentence of a fault that is not the program's own; None for one that is."""
    room = type(error).__module__.partition(".")[0]
    if isinstance(error, ValueError) and room == "journal":
        return text_of(error)
    if isinstance(error, OSError):
        which = "command.file-trouble" if error.filename else "command.some-file-trouble"
        return worded(which, file=error.filename, why=small(text_of(error)))
    if isinstance(error, ImportError) and (error.name or "PySide6").startswith("PySide6"):
        return worded("command.no-window-here", why=error)
    if room == "sqlite3":
        return worded("command.journal-not-read", why=error)
    return None


def _complain(text: str, code: int) -> int:
    from journal.command.answer import sentence

    sys.stderr.write(sentence(text) + "\n")
    return code


def _speak_plainly() -> None:
    """A terminal that cannot show a degree sign gets a question mark, not a traceback."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
