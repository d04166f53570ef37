"""A photo's file read for the screen, small; a file may claim any size."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QImage, QImageReader

_MOST_PIXELS = 200_000_000  # a photo of a large camera has a quarter of that
_MOST_MB = 200  # of memory, while a picture is unpacked


def read_photo(path: Path, box: QSize, *, enlarge: bool = True) -> QImage | None:
    """The photo made to fit into a box (a smaller one stays as it is without `enlarge`), turned as
    its camera says; None where it cannot be read, or would take more memory or time than any
    photo."""
    QImageReader.setAllocationLimit(_MOST_MB)
    reader = QImageReader(str(path))
    reader.setAutoTransform(True)
    size = reader.size()
    if not size.isValid() or not 0 < size.width() * size.height() <= _MOST_PIXELS:
        return None
    fitted = size.scaled(box, Qt.AspectRatioMode.KeepAspectRatio)
    if enlarge or fitted.width() < size.width():
        reader.setScaledSize(fitted)
    image = reader.read()
    return None if image.isNull() else image
