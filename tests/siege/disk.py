"""What a disk holds after a power cut, from a record of what was written and synced in which order.

`record` lets a command run under strace; `Disk` plays the record: what was written is pending until
its file is synced, a name until its folder is. `image` writes down what a cut may leave: of what is
pending on each file any 512-byte sectors in any order, of each folder's names any first part.
"""

from __future__ import annotations

import random
import re
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

SECTOR = 512
CALLS = (
    "write,writev,pwrite64,fsync,fdatasync,ftruncate,openat,rename,renameat,renameat2,link,linkat,"
    "unlink,unlinkat,mkdir,sendfile,copy_file_range,lseek"
)
STRACE = (
    "strace", "-f", "--seccomp-bpf", "-qq", "-y", "-xx", "-s", "2000000", "-e", f"trace={CALLS}"
)  # fmt: skip
_LINE = re.compile(r"(?P<pid>\d+) +(?P<rest>.*)", re.DOTALL)
_CALL = re.compile(r"(?P<name>\w+)\((?P<inside>.*)\) += (?P<result>-?\d+)(?P<to><.*)?")
_RESUMED = re.compile(r"<\.\.\. \w+ resumed>(?P<rest>.*)", re.DOTALL)
_TEXT = re.compile(r'"((?:\\x[0-9a-f]{2})*)"')
_HANDLE = re.compile(r"^(?:AT_FDCWD|\d+)?<((?:\\x[0-9a-f]{2})*)>")
_BY_HANDLE = re.compile(rb"/proc/self/fd/(\d+)")
_IGNORED = ("-shm", ".lock")


def can_record() -> str:
    """ "" where strace is there and may be used; else why not."""
    if shutil.which("strace") is None:
        return "strace is not installed"
    done = subprocess.run([*STRACE, "-o", "/dev/null", "true"], capture_output=True, check=False)
    return "" if done.returncode == 0 else "strace may not be used here"


def record(command: list[str], into: Path) -> int:
    """Run a command to its end and record what it does with files."""
    return subprocess.run(
        [*STRACE, "-o", str(into), *command], stdout=subprocess.DEVNULL, check=False
    ).returncode


@dataclass
class Call:
    """A system call that has returned. `begun` is how many calls had returned when it began."""

    pid: int
    name: str
    inside: str
    result: int
    begun: int
    to: str  # where the handle that it gave leads to

    @property
    def texts(self) -> list[bytes]:
        """Its arguments in quotation marks."""
        return [_bytes(text) for text in _TEXT.findall(self.inside)]

    @property
    def numbers(self) -> list[int]:
        """Its plain numbers behind the last text or handle."""
        return [int(word) for word in re.findall(r", (\d+)(?=,|$)", self.inside)]

    @property
    def path(self) -> str:
        """What its handle leads to."""
        return _led_to(self.inside)


def calls(recorded: Path) -> Iterator[Call]:
    """The calls of a record in the order in which they returned."""
    waiting: dict[str, tuple[str, int]] = {}
    number = 0
    with recorded.open(encoding="ascii", errors="replace") as lines:
        for line in lines:
            found = _LINE.match(line.rstrip("\n"))
            if found is None:
                continue
            pid, rest, begun = found["pid"], found["rest"], number
            if rest.endswith("<unfinished ...>"):
                waiting[pid] = rest.removesuffix("<unfinished ...>"), number
                continue
            resumed = _RESUMED.match(rest)
            if resumed:
                before, begun = waiting.pop(pid, ("", number))
                rest = before + resumed["rest"]
            call = _CALL.match(rest)
            if call and int(call["result"]) >= 0:
                number += 1
                yield Call(
                    int(pid), call["name"], call["inside"].strip(), int(call["result"]), begun,
                    _led_to(call["to"] or ""),
                )  # fmt: skip


def _led_to(handle: str) -> str:
    found = _HANDLE.match(handle)
    return _bytes(found[1]).decode() if found else ""


def _bytes(text: str) -> bytes:
    return bytes.fromhex(text.replace("\\x", ""))


@dataclass
class Pending:
    """What was done and may be lost: a write (offset, data), or a new size (data None)."""

    pid: int
    at: int
    offset: int
    data: bytes | None


@dataclass
class File:
    """One file, or a folder: as the disk surely has it, and what is pending."""

    folder: bool = False
    durable: bytearray = field(default_factory=bytearray)
    now: bytearray = field(default_factory=bytearray)
    pending: list[Pending] = field(default_factory=list)
    place: int | None = None  # where the next write goes; None: behind its end


@dataclass
class Named:
    """A change of names in one folder that is pending: names taken away, names given."""

    pid: int
    at: int
    gone: str
    name: str
    file: File | None


class Disk:
    """A folder on a disk, while a record is played."""

    def __init__(self, folder: Path) -> None:
        self.folder = str(folder)
        self.names: dict[str, File] = {}  # as programs see them
        self.durable: dict[str, File] = {}
        self.changes: dict[str, list[Named]] = {}  # by folder
        self.at = 0
        self.unnamed: dict[str, File] = {}  # what has no name yet, by the kernel's word for it
        self.handles: dict[tuple[int, str], File] = {}  # the same by process and handle
        for path in (folder, *folder.rglob("*")):
            body = b"" if path.is_dir() else path.read_bytes()
            self.names[str(path)] = File(path.is_dir(), bytearray(body), bytearray(body))
        self.durable = dict(self.names)

    # Playing

    def play(self, call: Call) -> None:
        """Do what a call did."""
        self.at += 1
        act = getattr(self, f"_{call.name}", None)
        if act is not None:
            act(call)

    def _file(self, call: Call) -> File | None:
        path = call.path
        return None if path.endswith(_IGNORED) else self.names.get(path) or self.unnamed.get(path)

    def _pwrite64(self, call: Call) -> None:
        file = self._file(call)
        if file is not None:
            self._write_to(call, file, call.numbers[-1], call.texts[-1][: call.result])

    def _write(self, call: Call) -> None:
        """Files are written from their end on, but where somebody went to another place in one."""
        file = self._file(call)
        if file is not None:
            body = b"".join(call.texts) if call.name == "writev" else call.texts[-1]
            offset = len(file.now) if file.place is None else file.place
            self._write_to(call, file, offset, body[: call.result])
            if file.place is not None:
                file.place += call.result

    _writev = _write

    def _lseek(self, call: Call) -> None:
        file = self._file(call)
        if file is not None and not file.folder:
            file.place = call.result if call.result < len(file.now) else None

    def _sendfile(self, call: Call) -> None:
        source = re.search(r", \d+<((?:\\x[0-9a-f]{2})*)>", call.inside)
        file = self._file(call)
        if file is not None and source is not None:
            path = _bytes(source[1]).decode()
            known = self.names.get(path)
            body = bytes(known.now) if known is not None else Path(path).read_bytes()
            begin = len(file.now)
            self._write_to(call, file, begin, body[begin : begin + call.result])

    _copy_file_range = _sendfile

    def _write_to(self, call: Call, file: File, offset: int, body: bytes) -> None:
        _put(file.now, offset, body)
        file.pending.append(Pending(call.pid, self.at, offset, body))

    def _ftruncate(self, call: Call) -> None:
        file = self._file(call)
        if file is not None:
            self._resize(call, file, call.numbers[-1])

    def _resize(self, call: Call, file: File, size: int) -> None:
        _cut(file.now, size)
        file.pending.append(Pending(call.pid, self.at, size, None))

    def _fsync(self, call: Call) -> None:
        """What was there when it began is on the disk now that it has returned."""
        file = self._file(call)
        if file is not None and file.folder:
            self._sync_folder(call.path, call.begun)
        elif file is not None:
            done = [one for one in file.pending if one.at <= call.begun]
            for one in done:
                _do(file.durable, one)
            file.pending = file.pending[len(done) :]

    _fdatasync = _fsync

    def _sync_folder(self, folder: str, begun: int) -> None:
        waiting = self.changes.get(folder, [])
        done = [one for one in waiting if one.at <= begun]
        for one in done:
            _rename_in(self.durable, one)
        self.changes[folder] = waiting[len(done) :]

    def _openat(self, call: Call) -> None:
        path = self._within(call.texts[-1])
        if path in self.names:
            self.names[path].place = None
        if path is not None and "O_TMPFILE" in call.inside:
            self.unnamed[call.to] = self.handles[call.pid, str(call.result)] = File()
            return
        if path is None or ("O_CREAT" not in call.inside and "O_TRUNC" not in call.inside):
            return
        if path not in self.names:
            self._change(call, "", path, File())
        elif "O_TRUNC" in call.inside and self.names[path].now:
            self._resize(call, self.names[path], 0)

    def _mkdir(self, call: Call) -> None:
        path = self._within(call.texts[-1])
        if path is not None:
            self._change(call, "", path, File(folder=True))

    def _rename(self, call: Call) -> None:
        old, new = (self._within(text) for text in call.texts[-2:])
        if old is not None and new is not None and old in self.names:
            self._change(call, old, new, self.names[old])

    _renameat = _renameat2 = _rename

    def _link(self, call: Call) -> None:
        old, new = call.texts[-2], self._within(call.texts[-1])
        by = _BY_HANDLE.fullmatch(old)
        file = (
            self.handles.get((call.pid, by[1].decode()))
            if by
            else self.names.get(self._within(old) or "")
        )
        if file is not None and new is not None:
            self._change(call, "", new, file)

    _linkat = _link

    def _unlink(self, call: Call) -> None:
        path = self._within(call.texts[-1])
        if path is not None and path in self.names:
            self._change(call, path, "", None)

    def _unlinkat(self, call: Call) -> None:
        """By a handle of its folder, as whole folders are taken away."""
        name, folder = call.texts[-1].decode(), call.path
        path = name if name.startswith("/") or not folder else f"{folder}/{name}"
        if path in self.names:
            self._change(call, path, "", None)

    def _change(self, call: Call, gone: str, name: str, file: File | None) -> None:
        one = Named(call.pid, self.at, gone, name, file)
        _rename_in(self.names, one)
        self.changes.setdefault(str(Path(name or gone).parent), []).append(one)

    def _within(self, text: bytes) -> str | None:
        path = text.decode(errors="replace")
        inside = path == self.folder or path.startswith(f"{self.folder}/")
        return path if inside and not path.endswith(_IGNORED) else None

    # Asking

    def unsynced(self, pid: int, since: int) -> set[str]:
        """What a process wrote or named since a call, and did not sync. A page that lies synced in
        the `-wal` too is no such: a fold that a reader held up syncs the file when it is whole."""

        def own(one: Pending | Named) -> bool:
            return one.pid == pid and one.at > since

        def lost(path: str, one: Pending) -> bool:
            beside = self.durable.get(f"{path}-wal")
            return beside is None or one.data is None or one.data not in beside.durable

        found = {
            path
            for path, file in self.names.items()
            if any(own(one) and lost(path, one) for one in file.pending)
        }
        for changes in self.changes.values():
            found |= {f"the name {c.name}" for c in changes if own(c) and c.name in self.names}
        return found

    def image(self, into: Path, rng: random.Random) -> None:
        """Write down what a cut at this moment may leave."""
        names = dict(self.durable)
        kept = [
            one
            for changes in self.changes.values()
            for one in changes[: rng.randint(0, len(changes))]
        ]
        for one in sorted(kept, key=lambda one: one.at):
            _rename_in(names, one)
        chance = rng.choice((0.0, 0.1, 0.5, 0.9, 1.0))
        left: dict[int, bytearray] = {}  # of a file with two names
        for path, file in names.items():
            if file.folder or any(str(above) not in names for above in _above(path, self.folder)):
                continue
            body = left.setdefault(id(file), _after_cut(file, rng, chance))
            lies = into / Path(path).relative_to(self.folder)
            lies.parent.mkdir(parents=True, exist_ok=True)
            lies.write_bytes(body)


def _after_cut(file: File, rng: random.Random, chance: float) -> bytearray:
    body = bytearray(file.durable)
    for one in file.pending:
        if one.data is None:
            if rng.random() < chance:
                _do(body, one)
            continue
        begin, end = one.offset, one.offset + len(one.data)
        while begin < end:
            stop = min(end, (begin // SECTOR + 1) * SECTOR)
            if rng.random() < chance:
                _put(body, begin, one.data[begin - one.offset : stop - one.offset])
            begin = stop
    return body


def _do(body: bytearray, one: Pending) -> None:
    if one.data is None:
        _cut(body, one.offset)
    else:
        _put(body, one.offset, one.data)


def _put(body: bytearray, offset: int, data: bytes) -> None:
    if len(body) < offset:
        body.extend(bytes(offset - len(body)))
    body[offset : offset + len(data)] = data


def _cut(body: bytearray, size: int) -> None:
    del body[size:]
    body.extend(bytes(size - len(body)))


def _rename_in(names: dict[str, File], one: Named) -> None:
    names.pop(one.gone, None)
    if one.file is None:
        return
    names[one.name] = one.file
    if one.file.folder and one.gone:
        for path in [each for each in names if each.startswith(f"{one.gone}/")]:
            names[one.name + path[len(one.gone) :]] = names.pop(path)


def _above(path: str, top: str) -> Iterator[Path]:
    """The folders that a file lies in, up to the top."""
    for each in Path(path).parents:
        yield each
        if str(each) == top:
            return
