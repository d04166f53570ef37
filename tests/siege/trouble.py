"""Trouble with the disk under the real window: a sentence, what was typed still on the screen, and
saved once that can be."""

from __future__ import annotations

import errno
import fcntl
import itertools
import os
import random
import resource
import shutil
import struct
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from functools import partial
from pathlib import Path

from PySide6.QtWidgets import QLabel

from tests.siege.acting import ENTER, ESC, F7, NAME, Hand, Part, apart, make_kitchen, reading, tell
from tests.siege.kills import ask
from tests.siege.table import Tally

SMALL = "size=4m"  # of a disk that is filled
_GET_FLAGS, _SET_FLAGS, _IMMUTABLE = 0x80086601, 0x40086602, 0x10  # of Linux's file systems
USERS = ("file of another user", "folder of another user")
NOBODY = 65534
_SHORT = 12  # letters: less is no sentence
ENDINGS = ("", "-wal", "-shm")


# Each trouble: (begin it, end it), for a journal that is open in a window


def full(path: Path) -> tuple[Callable[[], None], Callable[[], None]]:
    """A file that takes the rest of the disk."""
    filler = path.with_name("films.bin")

    def begin() -> None:
        with filler.open("wb", buffering=0) as file:
            for size in (65536, 4096, 512, 1):
                with suppress(OSError):
                    while file.write(bytes(size)) == size:
                        pass

    return begin, filler.unlink


def limited(path: Path) -> tuple[Callable[[], None], Callable[[], None]]:
    """No file may grow."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    begin = partial(resource.setrlimit, resource.RLIMIT_FSIZE, (4096, before[1]))
    return begin, partial(resource.setrlimit, resource.RLIMIT_FSIZE, before)


def immutable(path: Path) -> tuple[Callable[[], None], Callable[[], None]]:
    """The files beside each other may not be changed, whoever asks."""
    there = [Path(f"{path}{ending}") for ending in ENDINGS[:2]]

    def mark(on: bool) -> None:
        for each in there:
            handle = os.open(each, os.O_RDONLY)
            flags = struct.unpack("L", fcntl.ioctl(handle, _GET_FLAGS, bytes(8)))[0]
            flags = flags | _IMMUTABLE if on else flags & ~_IMMUTABLE
            fcntl.ioctl(handle, _SET_FLAGS, struct.pack("L", flags))
            os.close(handle)

    return partial(mark, True), partial(mark, False)


def vanished(path: Path) -> tuple[Callable[[], None], Callable[[], None]]:
    """The folder is somewhere else."""
    elsewhere = path.parent.with_name("elsewhere")
    return partial(os.rename, path.parent, elsewhere), partial(os.rename, elsewhere, path.parent)


def removed(path: Path) -> tuple[Callable[[], None], Callable[[], None]]:
    """The file is somewhere else, with what lies beside it."""
    away = path.with_name("away")
    away.mkdir()

    def move(there: Path, to: Path) -> None:
        for ending in ENDINGS:
            with suppress(FileNotFoundError):
                os.rename(there / f"{NAME}{ending}", to / f"{NAME}{ending}")

    return partial(move, path.parent, away), partial(move, away, path.parent)


def replaced(path: Path) -> tuple[Callable[[], None], Callable[[], None]]:
    """Another journal has its name."""
    other = path.with_name("other.vatside")
    begin, end = removed(path)
    shutil.copy(path, other)  # before it is open here

    def put() -> None:
        begin()
        os.rename(other, path)

    def put_back() -> None:
        path.unlink()
        end()

    return put, put_back


TROUBLES = {
    "disk full": full, "file-size limit": limited, "write-protected": immutable,
    "folder gone": vanished, "file gone": removed, "file replaced": replaced,
}  # fmt: skip
NOT_THERE = ("folder gone", "file gone", "file replaced")


# What is seen of it


def words(hand: Hand) -> set[str]:
    """Every sentence that the window shows."""
    found = {one.text() for one in hand.window.findChildren(QLabel) if one.isVisible()}
    return {text for text in found if len(text) > _SHORT}


def reads(hand: Hand, number: int) -> tuple[Callable[[], None], Callable[[], bool]]:
    """Type a reading; whether what was typed stands there still."""
    line = hand.window.current.page.entry.temp.line
    line.setFocus()
    text = f"{reading(number):.4f}"
    return partial(hand.type, text, ENTER), lambda: line.text() == text


def notes(hand: Hand, number: int) -> tuple[Callable[[], None], Callable[[], bool]]:
    """Type a note; whether its question is still open, with what was typed."""
    page, text = hand.window.current.page, f"note {number}"

    def act() -> None:
        hand.press(F7)
        hand.type(text, ENTER)

    return act, lambda: page.ask.asking and text in page.ask.texts


def meet(folder: Path, ini: Path, trouble: str, number: int, what: str) -> None:
    """Type when all is well, in the trouble, and after it."""
    path = folder / NAME
    begin, end = TROUBLES[trouble](path)
    hand = Hand(Part(folder, itertools.count(), ini=ini))
    hand.read(number)
    act, stands = {"reading": reads, "note": notes}[what](hand, number + 1)
    before = words(hand)
    begin()
    try:
        act()
        hand.app.processEvents()
        kept_in_it = not stands()
        tell("met", kept_in_it, sorted(words(hand) - before))
    finally:
        end()
    if not kept_in_it:
        hand.press(ENTER)
    if not stands():
        tell(what, reading(number + 1) if what == "reading" else f"note {number + 1}")
        tell("kept")
    if what == "note":
        hand.press(ESC)
    hand.read(number + 2)
    hand.window.close()
    hand.journal.close()


# A journal that another user has


def refused(folder: Path, ini: Path, trouble: str, number: int) -> None:
    """Open a journal that this user may only read, and type in it; then again when one may write to
    it. Nothing is written to it before, and what is typed in it stays."""
    path, text = folder / "guarded" / NAME, f"{reading(number):.4f}"
    path.parent.mkdir()
    shutil.copy(folder / NAME, path)
    hand = Hand(Part(folder, itertools.count(), ini=ini))
    hand.journal.close()
    for each in (path, folder / NAME):  # what is loaded late is loaded as who may read it
        hand.window.files.open_path(str(each))
    hand.window.go("vat")
    hand.until(hand.window.settled)
    _let_another_user_work(path, trouble)
    before = _written(path)
    hand.window.files.open_path(str(path))
    sentences = _type_at_the_vat(hand, text)
    stands = hand.window.current.page.entry.temp.line.text() == text
    tell("met", not stands or _written(path) != before, sentences)
    os.seteuid(0)
    _give(path.parent)
    os.seteuid(NOBODY)
    hand.window.files.open_path(str(path))
    _type_at_the_vat(hand, text)
    tell("reading", reading(number))
    if not hand.window.current.page.entry.temp.line.text():
        tell("kept")
    hand.window.close()
    hand.window.journal.close()


def _written(path: Path) -> dict[str, bytes]:
    """A journal and what is written beside it: whoever reads it makes an empty log there too, and
    an index that readers share."""
    beside = (one for one in path.parent.glob(f"{NAME}*") if not one.name.endswith("-shm"))
    return {one.name: data for one in beside if (data := one.read_bytes())}


def _type_at_the_vat(hand: Hand, text: str) -> list[str]:
    """Type a reading into the journal that is open; the sentences it is answered with."""
    hand.window.go("vat")
    hand.until(hand.window.settled)
    before = words(hand)
    line = hand.window.current.page.entry.temp.line
    line.setFocus()
    line.selectAll()
    hand.type(text)
    hand.press(ENTER)
    hand.until(hand.window.settled)
    return sorted(words(hand) - before)


def _let_another_user_work(path: Path, trouble: str) -> None:
    """Become another user, to whom the kitchen belongs in part."""
    path.parents[2].chmod(0o755)
    path.parents[1].chmod(0o755)
    _give(path.parent)
    os.chown(path if trouble == "file of another user" else path.parent, 0, 0)
    path.chmod(0o644)
    os.setgroups([])
    os.setresgid(NOBODY, NOBODY, 0)
    os.setresuid(NOBODY, NOBODY, 0)


def _give(folder: Path) -> None:
    for each in (folder, *folder.rglob("*")):
        os.chown(each, NOBODY, NOBODY)


# Which can be had here


@contextmanager
def disk_for(trouble: str, folder: Path) -> Iterator[str]:
    """A place for the kitchen, with "" or why the trouble cannot be made here."""
    kitchen = folder / "kitchen"
    kitchen.mkdir()
    if trouble == "disk full":
        mount = ["mount", "-t", "tmpfs", "-o", SMALL, "none", str(kitchen)]
        if subprocess.run(mount, capture_output=True, check=False).returncode:
            yield "no small disk may be mounted"
            return
        try:
            yield ""
        finally:
            subprocess.run(["umount", "-l", str(kitchen)], capture_output=True, check=False)
    elif trouble in USERS:
        yield "" if os.geteuid() == 0 else "only root may become another user"
    elif trouble == "write-protected":
        probe = folder / "probe"
        probe.touch()
        for ending in ENDINGS[1:2]:
            Path(f"{probe}{ending}").touch()
        begin, end = immutable(probe)
        try:
            begin()
        except OSError as error:
            yield f"no file may be protected: {errno.errorcode.get(error.errno or 0)}"
            return
        end()
        yield ""
    else:
        yield ""


def run(count: int, seed: int) -> Tally:
    """So many troubles, in turn."""
    tally, rng = Tally("trouble"), random.Random(seed)
    for number, trouble in zip(range(count), itertools.cycle([*TROUBLES, *USERS]), strict=False):
        with tempfile.TemporaryDirectory() as folder, disk_for(trouble, Path(folder)) as why:
            if why:
                tally.counts[f"{trouble} not run ({why})"] += 1
                continue
            tally.counts[trouble] += 1
            _once(Path(folder), trouble, rng.choice(("reading", "note")), 10 * number, tally)
    return tally


def _once(folder: Path, trouble: str, what: str, number: int, tally: Tally) -> None:
    kitchen, ini = folder / "kitchen", folder / "window.ini"
    apart(partial(make_kitchen, kitchen), folder)
    one = partial(meet, kitchen, ini, trouble, number, what)
    if trouble in USERS:
        one = partial(refused, kitchen, ini, trouble, number)
    done = apart(one, folder)
    reported = done.reported
    faults = (
        []
        if done.code == 0
        else [f"ended with {done.code}: {(folder / 'errors.txt').read_text()[-1200:]}"]
    )
    for _, kept_in_it, sentences in (row for row in reported if row[0] == "met"):
        if kept_in_it and trouble in (*NOT_THERE, *USERS):
            faults.append("said to be kept in a file that is not there, or what was typed is gone")
        elif not kept_in_it and not sentences:
            faults.append("no sentence")
    if ["kept"] not in reported:
        faults.append("not kept after it")
    asked = kitchen / "guarded" / NAME if trouble in USERS else kitchen / NAME
    faults += ask(asked, [row for row in reported if row[0] in ("reading", "note")])["faults"]
    for fault in faults:
        text = f"{trouble}, a {what}: {fault}"
        if text not in tally.faults:
            tally.faults.append(text)


if __name__ == "__main__":
    sys.exit(bool(run(6, 1).faults))
