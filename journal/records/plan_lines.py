"""Where things stand in a plan's file: the line of each table and key, for naming a fault."""

from __future__ import annotations

import re
from dataclasses import dataclass

from journal.message import Message
from journal.records import RecordError

Path = tuple[str | int, ...]

_BARE = r"[A-Za-z0-9_-]+|\"(?:\\.|[^\"\\\n])*\"|'[^'\n]*'"
_KEYS = re.compile(rf"[ \t]*(?:{_BARE})(?:[ \t]*\.[ \t]*(?:{_BARE}))*[ \t]*")
_KEY = re.compile(_BARE)
_VALUE = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}'  # over several lines
    r"|'''.*?'{3,5}"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'"
    r"|#[^\n]*"
    r"|[\[\]{}\n]"
    r"|[^\"'#\[\]{}\n]+"
    r"|.",
    re.DOTALL,
)
_AT = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")


@dataclass(frozen=True)
class FilePlace:
    """A table of a plan's file: what to call it, its path ("stage", 2, "acid target"), and the
    file's text, whose lines are counted once there is a fault."""

    called: Message
    path: Path
    text: str

    def inner(self, called: Message, *path: str | int) -> FilePlace:
        """A table within this one."""
        return FilePlace(called, self.path + path, self.text)

    def fault(self, why: Message, key: str = "", *, named: bool = True) -> RecordError:
        """The error that says where and what: "line 14: stage 2 (set), key “length”: …".

        `named` False leaves the key out of the message, where `why` already names it.
        """
        where = self.called
        if key and named:
            where = Message("records.at-key", place=self.called, key=key)
        fault = Message("records.at-place", place=where, why=why)
        line = self._line(key)
        return RecordError(fault if line is None else at_line(line, fault))

    def _line(self, key: str) -> int | None:
        """The line of a key, else of the table it belongs to; None for the plan as a whole."""
        path, lines = (*self.path, key) if key else self.path, lines_of(self.text)
        while path and path not in lines:
            path = path[:-1]
        return lines.get(path) if path else None


def lines_of(text: str) -> dict[Path, int]:
    """The line of each table and key of a sound TOML text; tables of an array count from 1.

    What stands within an inline table or an array in brackets has no line of its own: its key's
    line is the one to name.
    """
    found: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    table: Path = ()
    text = text.replace("\r\n", "\n")
    at, line = 0, 1
    while at < len(text):
        if text[at] == "[":
            double = text.startswith("[[", at)
            keys = _KEYS.match(text, at + 1 + double)
            if keys is None:
                return found
            table = _opened(_parts(keys[0]), counts, double=double)
            found[table] = line
            at = keys.end()
        elif text[at] not in " \t\n#":
            keys = _KEYS.match(text, at)
            if keys is None:
                return found
            path = table
            for part in _parts(keys[0]):
                path = (*path, part)
                found.setdefault(path, line)
            at = keys.end()
        at, line = _past_value(text, at, line)
    return found


def at_line(line: int, why: Message) -> Message:
    """A fault with its line before it."""
    return Message("records.at-line", line=line, why=why)


def syntax_fault(text: str, error: Exception) -> Message:
    """What is wrong with the text as TOML, with its line where that is known; `message` is what the
    reader of TOML says of it."""
    message = str(error)
    found = _AT.search(message)
    if found is None:
        return Message("records.no-toml", message=message)
    message = message[: found.start()]
    if found[1] is None:
        last = text.rstrip().count("\n") + 1
        return at_line(last, Message("records.no-toml-at-end", message=message))
    fault = Message("records.no-toml-at-letter", message=message, letter=int(found[2]))
    return at_line(int(found[1]), fault)


def _opened(parts: list[str], counts: dict[Path, int], *, double: bool) -> Path:
    """The path of a table just opened, with the place of each array's table it lies in."""
    path: Path = ()
    for part in parts[:-1]:
        path = (*path, part)
        if path in counts:
            path = (*path, counts[path])
    path = (*path, parts[-1])
    if not double:
        return path
    counts[path] = counts.get(path, 0) + 1
    return (*path, counts[path])


def _parts(keys: str) -> list[str]:
    return [key.strip("\"'") for key in _KEY.findall(keys)]


def _past_value(text: str, at: int, line: int) -> tuple[int, int]:
    """The place after a statement's line, strings and brackets over several lines included."""
    depth = 0
    while at < len(text):
        part = _VALUE.match(text, at)
        assert part is not None  # the last of its choices takes anything
        at = part.end()
        line += part[0].count("\n")
        if part[0] in "[{":
            depth += 1
        elif part[0] in "]}":
            depth -= 1
        elif part[0] == "\n" and depth <= 0:
            break
    return at, line
