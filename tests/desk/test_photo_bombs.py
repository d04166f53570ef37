"""Pictures that say they are huge: never unpacked, never a crash, and the note stays."""

from __future__ import annotations

import os
import struct
import subprocess
import sys
import zlib
from pathlib import Path

import pytest
from PySide6.QtCore import QSize

from journal.desk.form.photo import SmallPhoto
from journal.desk.photo_file import read_photo
from journal.keeping import Journal
from journal.records.makes import Note

ROOT = Path(__file__).parents[2]
SIDE = 60_000


def png(width: int, height: int, rows: bytes) -> bytes:
    """A PNG, grey, of that size as it says; its rows as they are given, packed."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", crc(kind + body))

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    packed = chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + packed


def crc(data: bytes) -> int:
    return zlib.crc32(data)


def zeros(count: int) -> bytes:
    """So many zero bytes, packed, without ever holding them."""
    packer, out, step = zlib.compressobj(9), [], bytes(1 << 20)
    for _ in range(count >> 20):
        out.append(packer.compress(step))
    return b"".join(out) + packer.flush()


def bombs() -> dict[str, bytes]:
    word = struct.pack("<H", SIDE)
    bmp = b"BM" + struct.pack("<IHHIIiiHHIIiiII", 60, 0, 0, 54, 40, SIDE, SIDE, 1, 24,
                              0, 0, 0, 0, 0, 0)  # fmt: skip
    webp = b"VP8X" + struct.pack("<II", 10, 0) + (SIDE - 1).to_bytes(3, "little") * 2
    jpeg = b"\xff\xd8\xff\xc0\x00\x0b\x08" + struct.pack(">HH", SIDE, SIDE) + b"\x01\x01\x11\x00"
    return {
        "says.png": png(SIDE, SIDE, zlib.compress(b"\0" * 100)),
        "packed.png": png(14_000, 14_000, zeros(14_000 * 14_001)),  # below what is refused at once
        "says.gif": b"GIF89a" + word + word + b"\x80\0\0" + bytes(6) + b"," + bytes(4) + word + word
        + b"\0\x02\x02\x44\x01\0;",
        "says.bmp": bmp + bytes(60),
        "says.jpg": jpeg + b"\xff\xda\x00\x08\x01\x01\x00\x00\x3f\x00" + bytes(50) + b"\xff\xd9",
        "says.webp": b"RIFF" + struct.pack("<I", 4 + len(webp)) + b"WEBP" + webp,
        "cut.png": png(20, 20, b""),
        "words.png": b"\x89PNG\r\n\x1a\n" + b"no picture at all" * 9,
        "drawing.png": f'<svg xmlns="http://www.w3.org/2000/svg" width="{SIDE}" height="{SIDE}">'
        "<image href='file:///etc/passwd'/></svg>".encode(),
    }  # fmt: skip


READ = """
import resource, sys, time
from pathlib import Path
from PySide6.QtCore import QSize
from PySide6.QtGui import QGuiApplication
from journal.desk.photo_file import read_photo
app = QGuiApplication([])
for path in sorted(Path(sys.argv[1]).iterdir()):
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    begun = time.process_time()
    image = read_photo(path, QSize(400, 300))
    grown = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) // 1024
    took = time.process_time() - begun
    size = None if image is None else max(image.width(), image.height())
    assert (size or 0) <= 400 and grown < 250 and took < 5, (path.name, size, grown, took)
    print(path.name)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="the system does not tell how much was held")
def test_a_picture_that_says_it_is_huge_takes_neither_memory_nor_time(tmp_path: Path) -> None:
    made = bombs()
    for name, data in made.items():
        (tmp_path / name).write_bytes(data)
    done = subprocess.run(
        [sys.executable, "-c", READ, tmp_path], capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT), "QT_QPA_PLATFORM": "offscreen"}, timeout=100,
    )  # fmt: skip
    assert done.stdout.split() == sorted(made), done.stderr[-800:]


def test_a_note_with_such_a_photo_is_kept_and_shown_without_it(
    qtbot, kitchen, vat, tmp_path: Path
) -> None:
    picture = tmp_path / "says.png"
    picture.write_bytes(bombs()["says.png"])
    journal: Journal = kitchen.journal
    note = Note(kitchen.clock(), "clean break", make_id=kitchen.make.id)
    kept = journal.photos.save(note, picture)
    window = vat.window()
    for place in ("makes", "vat"):
        window.go(place)
        qtbot.waitUntil(window.settled)
    assert journal.photos.file(kept.photo) is not None
    assert read_photo(journal.photos.file(kept.photo), QSize(400, 300)) is None
    assert journal.check() == []


def test_a_photo_as_thin_as_a_thread_is_shown(qtbot, tmp_path):
    """A hundred times as long as it is high: its box would have no height."""
    thin = tmp_path / "thin.png"
    thin.write_bytes(png(600, 2, zlib.compress(bytes(2 * 601))))
    small = SmallPhoto()
    qtbot.addWidget(small)
    small.show_file(thin)
    assert not small.grab().isNull()
