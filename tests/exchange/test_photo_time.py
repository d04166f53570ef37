"""When a photo was taken: as its camera wrote it, by its offset or the kitchen's zone, else by its
file; whatever else stands in the file is no trouble."""

from __future__ import annotations

import os
import struct
from pathlib import Path

import pytest

from journal.exchange.photo_time import taken_ms
from journal.records.instants import from_iso

ZONE = "Europe/London"
CHANGED = from_iso("2026-03-01T12:00", ZONE)


def jpeg(taken: str = "", offset: str = "", order: str = "<") -> bytes:
    """The beginning of a JPEG with an Exif part, by Exif 2.32 and TIFF 6.0."""
    tags = [(0x9003, taken), (0x9011, offset)]
    texts = [(tag, f"{text}\0".encode()) for tag, text in tags if text]
    sub, data = 8 + 2 + 12 + 4, b""
    after = sub + 2 + 12 * len(texts) + 4
    entries = b""
    for tag, text in texts:
        entries += struct.pack(f"{order}HHII", tag, 2, len(text), after + len(data))
        data += text
    mark = b"II*\0" if order == "<" else b"MM\0*"
    tiff = mark + struct.pack(f"{order}I", 8)
    tiff += struct.pack(f"{order}HHHII", 1, 0x8769, 4, 1, sub) + b"\0" * 4
    tiff += struct.pack(f"{order}H", len(texts)) + entries + b"\0" * 4 + data
    part = b"Exif\0\0" + tiff
    return b"\xff\xd8\xff\xe1" + struct.pack(">H", len(part) + 2) + part + b"\xff\xd9"


def photo(folder: Path, content: bytes) -> Path:
    path = folder / "photo.jpg"
    path.write_bytes(content)
    os.utime(path, (CHANGED / 1000, CHANGED / 1000))
    return path


@pytest.mark.parametrize("order", ["<", ">"])
@pytest.mark.parametrize(
    ("offset", "iso"), [("", "2026-07-14T09:30:05"), ("+05:30", "2026-07-14T09:30:05+05:30"),
                        ("-03:00", "2026-07-14T09:30:05-03:00")],
)  # fmt: skip
def test_the_camera_says_when(tmp_path, order, offset, iso):
    path = photo(tmp_path, jpeg("2026:07:14 09:30:05", offset, order))
    assert taken_ms(path, ZONE) == from_iso(iso, ZONE)


@pytest.mark.parametrize(
    "content",
    [b"", b"no photo", jpeg(), jpeg("2026:13:45 99:00:00"), jpeg("0000:00:00 00:00:00"),
     b"\x89PNG\r\n\x1a\n" + jpeg("2026:07:14 09:30:05")],
)  # fmt: skip
def test_else_the_file_does(tmp_path, content):
    assert taken_ms(photo(tmp_path, content), ZONE) == CHANGED


def test_a_file_cut_or_changed_anywhere_is_read_without_trouble(tmp_path):
    whole = jpeg("2026:07:14 09:30:05", "+01:00")
    real = from_iso("2026-07-14T09:30:05+01:00", ZONE)
    for end in range(len(whole)):
        assert taken_ms(photo(tmp_path, whole[:end]), ZONE) in (CHANGED, real, real + 0)
        wrong = bytearray(whole)
        wrong[end] ^= 0xFF
        assert isinstance(taken_ms(photo(tmp_path, bytes(wrong)), ZONE), int)
