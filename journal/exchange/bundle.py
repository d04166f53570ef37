"""A journal with its photos and plans as one zip file, for another computer; opened with care.

What opens a bundle trusts nothing in it: only files that its manifest lists and that are by their
content what they are called come out, in sizes that were said before, into names that are free.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import shutil
import stat
import struct
import tempfile
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import IO, BinaryIO, cast

from journal.exchange import ExchangeError
from journal.exchange.plan_files import read_plan_file, write_plan_file
from journal.keeping import Journal, KeepingError, open_other, reason
from journal.keeping.backups import is_sound
from journal.keeping.file import look, name_finished, sync
from journal.keeping.leftovers import half_of, take_halves_away
from journal.keeping.photos import is_damaged, photos_of, picture_kind
from journal.keeping.stopping import Progress, Stop, never, part_of, unseen
from journal.records import id_of
from journal.wording import worded

FORM = 1
SUFFIX = ".vatside.zip"
_FRESH = "bundle."
MANIFEST = "manifest.json"
_JOURNAL = ".vatside"
MOST_FILES = 50_000
_LARGEST_MANIFEST = 16_000_000  # bytes, and of the zip's own list of files
_MOST_TIMES = 200  # smaller than it is: no file of a bundle
_SMALL = 1_000_000  # bytes, which may be smaller by more
_STEP = 1 << 20
_PHOTO = re.compile(r"photos/[\w-][\w.-]{0,120}\.(png|jpg|gif|bmp|webp)", re.ASCII)
_PLAN = re.compile(r"plans/[\w-]{1,120}\.toml", re.ASCII)
_RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
_FAULTS = (
    zipfile.BadZipFile, zlib.error, struct.error, EOFError, NotImplementedError, OverflowError,
    RecursionError, RuntimeError, ValueError,
)  # fmt: skip


@dataclass(frozen=True)
class Bundle:
    """What was bundled, or came out of a bundle: the file, and how much went with the journal."""

    path: Path
    photos: int
    plans: int


@dataclass(frozen=True)
class _Listed:
    name: str
    bytes: int
    sha256: str


def write_bundle(
    journal: Journal, out: str | Path, stop: Stop = never, progress: Progress = unseen
) -> Bundle:
    """Write a journal, its photos and its plans (as TOML) into a new zip file: whole or not at
    all; a file that is there is never overwritten.

    Raises
    ------
    ExchangeError
        When the name is taken or does not end in `.zip`, or the file cannot be written, or `stop`
        said so; nothing is left then.
    KeepingError
        When the journal cannot be copied.
    """
    where = Path(out)
    if where.suffix.lower() != ".zip":
        raise ExchangeError("exchange.not-zip", file=where.name, suffix=SUFFIX)
    if os.path.lexists(where):
        raise ExchangeError("exchange.file-exists", file=where.name)
    take_halves_away(where.parent, f"{where.name}.")
    half = half_of(where)
    try:
        with tempfile.TemporaryDirectory(prefix=f"{half.name}-", dir=where.parent) as fresh:
            parts = _write_parts(journal, Path(fresh), stop, part_of(progress, 0, 0.5))
            _zip(parts, half, stop, part_of(progress, 0.5, 1))
        if not name_finished(half, where):
            raise ExchangeError("exchange.file-exists", file=where.name)
        sync(where.parent)
    except OSError as error:
        raise ExchangeError("exchange.bundle-not-written", why=reason(error)) from error
    except KeepingError as error:
        if stop():
            raise ExchangeError("exchange.bundle-stopped") from error
        if "why" not in error.message.values:
            raise
        why = error.message.values["why"]  # of a copy under a name nobody has heard of
        raise KeepingError("keeping.not-made-here", file=where.name, why=why) from error
    finally:
        half.unlink(missing_ok=True)
    photos = sum(name.startswith("photos/") for name in parts)
    return Bundle(where, photos, len(parts) - photos - 1)


def read_bundle(
    zipped: str | Path, folder: str | Path, stop: Stop = never, progress: Progress = unseen
) -> Bundle:
    """Take a bundle's journal with its photos and plans out into a folder, which is made where it
    is not there: all of it or nothing, and nothing that is there is overwritten.

    Returns
    -------
    Bundle
        Its path is the journal's.

    Raises
    ------
    ExchangeError
        When it is no bundle, or is not what its manifest says; or cannot be written, or `stop`
        said so.
    """
    source, where = Path(zipped), Path(folder)
    if not source.is_file():
        raise ExchangeError("exchange.no-file", file=source)
    made = not where.exists()
    try:
        where.mkdir(parents=True, exist_ok=True)
        take_halves_away(where, _FRESH)
        begun = half_of(where / f"{_FRESH}{source.name[:60]}")
        fresh = Path(tempfile.mkdtemp(prefix=f"{begun.name}-", dir=where))
    except OSError as error:
        raise ExchangeError("exchange.folder-not-written", folder=where, why=error) from None
    try:
        with _careful(source.name), open_other(source) as file, zipfile.ZipFile(
            cast(BinaryIO, _Bounded(file))
        ) as bundle:  # fmt: skip
            name, listed = _manifest(bundle, source)
            _check_room(listed, where)
            _check_free(where, name)
            _take_out(bundle, name, listed, fresh, _asking(stop, part_of(progress, 0, 0.5)))
        _check_contents(fresh, name, stop, part_of(progress, 0.5, 1))
        _place(fresh, where, name)
    except OSError as error:
        why = reason(error)
        raise ExchangeError("exchange.not-opened-here", file=source.name, why=why) from error
    finally:
        shutil.rmtree(fresh, ignore_errors=True)
        if made:
            with suppress(OSError):
                where.rmdir()  # goes only where nothing came out
    photos = sum(one.name.startswith("photos/") for one in listed)
    return Bundle(where / name, photos, len(listed) - photos - 1)


# Writing


def _asking(stop: Stop, progress: Progress) -> Progress:
    """Says how far it is, and raises ExchangeError when it is to go no further."""

    def asked(share: float) -> None:
        if stop():
            raise ExchangeError("exchange.bundle-stopped")
        progress(share)

    return asked


def _write_parts(journal: Journal, fresh: Path, stop: Stop, progress: Progress) -> dict[str, Path]:
    """A whole copy of what goes into the bundle: its name there, and where it lies."""
    name = journal.path.resolve().name
    name = name if _is_journal_name(name) else f"journal{_JOURNAL}"
    journal.save_copy(fresh / name, photos=False, stop=stop, progress=progress)
    parts = {name: fresh / name}
    parts |= {f"photos/{p.name}": p for p in journal.photos.every() if _is_sound_photo(p)}
    for plan in journal.plans.in_use():
        stem = "".join(c if c.isalnum() and c.isascii() else "-" for c in plan.name)[:60]
        inside = f"plans/{stem}-{plan.version}-{id_of(plan)}.toml"
        parts[inside] = fresh / inside.replace("/", "-")
        write_plan_file(plan, parts[inside])
    return parts


def _is_sound_photo(photo: Path) -> bool:
    """Whether it is what it is called: else what opens the bundle would refuse it whole."""
    with suppress(KeepingError):
        named = _PHOTO.fullmatch(f"photos/{photo.name}") is not None
        return named and picture_kind(photo) == photo.suffix[1:] and not is_damaged(photo)
    return False


def _zip(parts: dict[str, Path], half: Path, stop: Stop, progress: Progress) -> None:
    asked, done = _asking(stop, progress), 0
    whole = sum(path.stat().st_size for path in parts.values())
    with zipfile.ZipFile(half, "w") as bundle:
        listed = []
        for name, path in parts.items():
            info = zipfile.ZipInfo.from_file(path, name, strict_timestamps=False)
            stored = name.startswith("photos/")
            info.compress_type = zipfile.ZIP_STORED if stored else zipfile.ZIP_DEFLATED
            sums, size = hashlib.sha256(), 0
            with path.open("rb") as file, bundle.open(info, "w") as packed:
                while part := file.read(_STEP):
                    sums.update(part)
                    packed.write(part)
                    size, done = size + len(part), done + len(part)
                    asked(done / whole)
            listed.append({"name": name, "bytes": size, "sha256": sums.hexdigest()})
        head = {"vatside_bundle": FORM, "journal": next(iter(parts)), "files": listed}
        bundle.writestr(MANIFEST, json.dumps(head, indent=1))
    sync(half)


# Reading


class _Bounded:
    """A file of which nothing larger than a manifest is read at once: a zip's list of its own
    files is, before anything in it can be looked at."""

    def __init__(self, file: BinaryIO) -> None:
        self._file = file
        self.seek, self.tell, self.seekable = file.seek, file.tell, file.seekable

    def read(self, size: int = -1) -> bytes:
        found = self._file.read(_LARGEST_MANIFEST + 1 if size < 0 else size) if (
            size <= _LARGEST_MANIFEST
        ) else b""  # fmt: skip
        if size > _LARGEST_MANIFEST or len(found) > _LARGEST_MANIFEST:
            raise zipfile.BadZipFile(worded("exchange.its-list-too-long"))
        return found


@contextmanager
def _careful(name: str) -> Iterator[None]:
    """What a zip that is none, or is damaged, can raise, as one sentence."""
    try:
        yield
    except ExchangeError:
        raise
    except _FAULTS as error:
        why = " ".join(str(error).split())[:120] or type(error).__name__
        raise ExchangeError("exchange.no-bundle-or-damaged", file=name, why=why) from error


def _manifest(bundle: zipfile.ZipFile, source: Path) -> tuple[str, list[_Listed]]:
    """The journal's name and all that is listed, after what the zip itself says of it."""
    infos = {info.filename: info for info in bundle.infolist()}
    if MANIFEST not in infos:
        raise ExchangeError("exchange.other-zip", file=source.name)
    if len(bundle.infolist()) > MOST_FILES or len(infos) < len(bundle.infolist()):
        raise ExchangeError("exchange.too-many-files", file=source.name)
    for info in infos.values():
        _check_entry(info)
    if sum(info.compress_size for info in infos.values()) > source.stat().st_size:
        raise ExchangeError("exchange.files-overlap", file=source.name)
    if infos[MANIFEST].file_size > _LARGEST_MANIFEST:
        raise ExchangeError("exchange.list-too-long", file=source.name)
    head = json.loads(bundle.read(MANIFEST))
    try:
        form, name = int(head["vatside_bundle"]), str(head["journal"])
        listed = [_Listed(str(f["name"]), int(f["bytes"]), str(f["sha256"])) for f in head["files"]]
    except (KeyError, TypeError) as error:
        raise ExchangeError("exchange.list-damaged", file=source.name) from error
    if form > FORM:
        raise ExchangeError("exchange.bundle-newer", file=source.name)
    there = {key: info.file_size for key, info in infos.items() if key != MANIFEST}
    if {one.name: one.bytes for one in listed} != there or len(listed) != len(there):
        raise ExchangeError("exchange.list-differs", file=source.name)
    for one in listed:
        if not _is_inside_name(one.name) and not (one.name == name and _is_journal_name(name)):
            raise ExchangeError("exchange.none-holds", file=source.name, name=repr(one.name[:80]))
    if name not in there or len({one.name.casefold() for one in listed}) < len(listed):
        raise ExchangeError("exchange.no-journal-in-it", file=source.name)
    return name, listed


def _check_entry(info: zipfile.ZipInfo) -> None:
    kind = stat.S_IFMT(info.external_attr >> 16)
    plain = (
        kind in (0, stat.S_IFREG) and not info.filename.endswith("/") and not info.flag_bits & 0x1
    )
    packed = info.compress_type in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
    if not (plain and packed):
        raise ExchangeError("exchange.entry-not-plain", name=repr(info.filename[:80]))
    if info.file_size > max(_SMALL, _MOST_TIMES * info.compress_size):
        raise ExchangeError("exchange.entry-too-large", name=repr(info.filename[:80]))


def _is_journal_name(name: str) -> bool:
    """Whether a name is one of a file, on any system, and a journal's."""
    plain = bool(re.fullmatch(r"[^\x00-\x1f\x7f<>:\"/\\|?*.][^\x00-\x1f\x7f<>:\"/\\|?*]*", name))
    short = len(name.encode("utf-8", "replace")) <= 200
    return plain and short and name.endswith(_JOURNAL) and not _RESERVED.fullmatch(name)


def _is_inside_name(name: str) -> bool:
    found = _PHOTO.fullmatch(name) or _PLAN.fullmatch(name)
    return found is not None and not _RESERVED.fullmatch(name.partition("/")[2])


def _check_room(listed: list[_Listed], where: Path) -> None:
    needed = sum(one.bytes for one in listed)
    if needed > shutil.disk_usage(where).free:
        raise ExchangeError("exchange.no-room", mb=needed / 1e6, folder=where)


def _check_free(where: Path, name: str) -> None:
    for each in (where / name, *(path for _, path in _folders(where, name))):
        if os.path.lexists(each):
            raise ExchangeError("exchange.in-folder-already", file=each.name, folder=where)


def _folders(where: Path, name: str) -> tuple[tuple[str, Path], ...]:
    """The folders in a bundle, and what they are called beside a journal."""
    return ("photos", photos_of(where / name)), ("plans", where / f"{name}.plans")


def _take_out(
    bundle: zipfile.ZipFile, name: str, listed: list[_Listed], fresh: Path, asked: Progress
) -> None:
    folders, whole, before = dict(_folders(fresh, name)), sum(one.bytes for one in listed), 0
    for one in listed:
        inside, _, last = one.name.rpartition("/")
        path = folders[inside] / last if inside else fresh / name
        path.parent.mkdir(exist_ok=True)
        with bundle.open(one.name) as packed, path.open("xb") as file:
            part = part_of(asked, before / whole, (before + one.bytes) / whole)
            if _copy(packed, file, one.bytes, part) != one.sha256:
                raise ExchangeError("exchange.entry-changed", name=one.name)
        before += one.bytes
    for folder in folders.values():
        if folder.is_dir():
            sync(folder)


def _copy(packed: IO[bytes], file: BinaryIO, most: int, asked: Progress) -> str:
    """Copy no more than was said before; returns the sum of what came."""
    sums, left = hashlib.sha256(), most
    while part := packed.read(_STEP):
        left -= len(part)
        if left < 0:
            break
        sums.update(part)
        file.write(part)
        asked((most - left) / most)
    file.flush()
    os.fsync(file.fileno())
    return sums.hexdigest() if left == 0 else ""


def _check_contents(fresh: Path, name: str, stop: Stop, progress: Progress) -> None:
    """Everything is what it is called, by its content."""
    try:
        look(fresh / name)
        photos, plans = (path for _, path in _folders(fresh, name))
        for photo in photos.glob("*"):
            if picture_kind(photo) != photo.suffix[1:]:
                raise ExchangeError("exchange.photo-is-else", name=photo.name)
    except KeepingError as error:
        raise ExchangeError("exchange.bundle-refused", why=error) from error
    sound = is_sound(fresh / name, stop, progress)
    if stop():
        raise ExchangeError("exchange.bundle-stopped")
    if not sound:
        raise ExchangeError("exchange.bundle-journal-damaged")
    for plan in plans.glob("*"):
        read_plan_file(plan)


def _place(fresh: Path, where: Path, name: str) -> None:
    """Give everything its name, the journal last; takes all back when one cannot have it."""
    placed: list[tuple[Path, Path]] = []
    try:
        for (_, begun), (_, path) in zip(_folders(fresh, name), _folders(where, name), strict=True):
            if begun.is_dir():
                begun.rename(path)
                placed.append((begun, path))
        done = name_finished(fresh / name, where / name)
        sync(where)
    except OSError:
        _take_back(placed)
        raise
    if not done:
        _take_back(placed)
        raise ExchangeError("exchange.in-folder-already", file=name, folder=where)


def _take_back(placed: list[tuple[Path, Path]]) -> None:
    for begun, path in placed:
        path.rename(begun)
