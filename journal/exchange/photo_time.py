"""When a photo was taken, as its camera wrote it (Exif 2.32, DateTimeOriginal, its offset), else
when its file was last changed."""

from __future__ import annotations

import re
import struct
from datetime import datetime, timedelta, timezone
from pathlib import Path
from zoneinfo import ZoneInfo

from journal.keeping.file import open_other
from journal.records.instants import from_datetime

_HEAD = 128 * 1024  # bytes; a JPEG has its Exif part among the first of them
_MOST_TAGS = 500
_EXIF_PART, _TAKEN, _OFFSET = 0x8769, 0x9003, 0x9011
_DAY = re.compile(rb"(\d{4}):(\d\d):(\d\d) (\d\d):(\d\d):(\d\d)")
_AWAY = re.compile(rb"([+-])(\d\d):(\d\d)")


def taken_ms(photo: Path, zone: str) -> int:
    """The instant a photo was taken; a time without an offset is of that zone.

    Raises
    ------
    OSError
        When the file cannot be read.
    """
    with open_other(photo) as file:
        head = file.read(_HEAD)
    try:
        at = _written(head, zone)
    except (struct.error, ValueError, OverflowError):
        at = None
    return round(photo.stat().st_mtime * 1000) if at is None else at


def _written(head: bytes, zone: str) -> int | None:
    start = head.find(b"Exif\x00\x00")
    if not head.startswith(b"\xff\xd8") or start < 0:
        return None
    tiff = head[start + 6 :]
    order = "<" if tiff[:2] == b"II" else ">"
    (first,) = struct.unpack_from(f"{order}I", tiff, 4)
    part = _tags(tiff, order, first).get(_EXIF_PART)
    if part is None:
        return None
    tags = _tags(tiff, order, struct.unpack(f"{order}I", part)[0])
    day = _DAY.match(_text(tiff, order, tags.get(_TAKEN)))
    if day is None:
        return None
    away = _AWAY.match(_text(tiff, order, tags.get(_OFFSET)))
    where: timezone | ZoneInfo = ZoneInfo(zone)
    if away is not None:
        off = timedelta(hours=int(away[2]), minutes=int(away[3]))
        where = timezone(-off if away[1] == b"-" else off)
    year, month, date, hour, minute, second = map(int, day.groups())
    return from_datetime(datetime(year, month, date, hour, minute, second, tzinfo=where), zone)


def _tags(tiff: bytes, order: str, at: int) -> dict[int, bytes]:
    """The four bytes of value of each tag of a directory."""
    (count,) = struct.unpack_from(f"{order}H", tiff, at)
    spots = [at + 2 + 12 * number for number in range(min(count, _MOST_TAGS))]
    return {struct.unpack_from(f"{order}H", tiff, spot)[0]: tiff[spot + 8 : spot + 12]
            for spot in spots}  # fmt: skip


def _text(tiff: bytes, order: str, value: bytes | None) -> bytes:
    """The text a tag points to."""
    if value is None:
        return b""
    (at,) = struct.unpack(f"{order}I", value)
    return tiff[at : at + 32]
