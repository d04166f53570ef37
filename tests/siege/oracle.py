"""What is really there, by nothing of the program: plain sqlite3 in a process of its own.

`python -I oracle.py` reads {"journal": path, "said": rows, …} as JSON and writes what is missing or
unsound, a list of sentences. A row of "said" is what a process wrote about itself (`acting.py`);
of what was announced (`will`) both are right, before and after.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
import struct
import sys
import tempfile
import zipfile
import zlib
from collections import Counter
from contextlib import closing
from pathlib import Path

Row = list[object]


class There:
    """What one journal file holds."""

    def __init__(self, path: Path) -> None:
        self.path = path
        with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=rw", uri=True)) as db:
            self.faults = [f"integrity: {row[0]}" for row in db.execute("pragma integrity_check")]
            self.faults = [one for one in self.faults if one != "integrity: ok"]
            broken = db.execute("pragma foreign_key_check").fetchall()
            self.faults += [f"refers to nothing: {row}" for row in broken]
            self.readings = Counter(readings(db))
            self.scores = scores(db)
            self.notes = dict(db.execute("select text, photo from note"))
            self.makes = Counter(row[0] for row in db.execute("select name from make"))
            self.settings = dict(db.execute("select key, value from setting"))


def readings(db: sqlite3.Connection) -> list[float]:
    """Every reading's value, of the log and of the blocks."""
    found = [row[0] for row in db.execute("select value from reading_log")]
    for coding, packed in db.execute("select coding, value from reading_block"):
        body = zlib.decompress(packed)
        if coding == "float":
            found += struct.unpack(f"<{len(body) // 8}d", body)
            continue
        total = 0
        for difference in struct.unpack(f"<{len(body) // 4}i", body):
            total += difference
            found.append(total / 1000)
    return [round(value, 5) for value in found]


def scores(db: sqlite3.Connection) -> dict[str, Counter[float]]:
    """The points that each assessor gave."""
    found: dict[str, Counter[float]] = {}
    for name, value in db.execute(
        "select a.name, s.value from score s join assessor a on a.id = s.assessor_id"
    ):
        found.setdefault(name, Counter())[value] += 1
    return found


def missing(there: There, reported: list[Row]) -> list[str]:
    """What was acknowledged and is not there, or is there in part."""
    faults: list[str] = []
    for kind, *row in reported:
        if kind == "reading" and not there.readings[round(row[0], 5)]:
            faults.append(f"a reading is missing: {row}")
        elif kind == "note" and row[0] not in there.notes:
            faults.append(f"a note is missing: {row}")
        elif kind == "photo":
            faults += photo_faults(there, *row)
        elif kind == "score":
            wanted = Counter(row[1].values())
            if wanted - there.scores.get(row[0], Counter()):
                faults.append(f"scores are missing: {row}, there {there.scores.get(row[0])}")
        elif kind in ("import", "begins"):
            held = sum(bool(there.readings[round(value, 5)]) for value in row[0])
            if held < len(row[0]) and (held or kind == "import"):
                faults.append(f"of an import {held} of {len(row[0])} are there: {row[0][0]}")
        elif kind == "set" and there.settings.get(row[0]) != row[1]:
            faults.append(f"a setting is {there.settings.get(row[0])}: {row}")
    return faults


def photo_faults(there: There, text: str, summed: str) -> list[str]:
    """Whether a photo is there as it was taken."""
    name = there.notes.get(text)
    if not name:
        return [f"a photo's note is missing: {text}"]
    lies = Path(f"{there.path.resolve()}.photos") / name
    if not lies.is_file():
        return [f"a photo is missing: {text}"]
    if hashlib.sha256(lies.read_bytes()).hexdigest() != summed:
        return [f"a photo is another: {text}"]
    return []


def fewer(path: Path, before: Path) -> list[str]:
    """Which tables have fewer rows than an older journal had."""
    counted = []
    for each, mode in ((path, "rw"), (before, "ro&immutable=1")):
        with closing(sqlite3.connect(f"{each.resolve().as_uri()}?mode={mode}", uri=True)) as db:
            names = db.execute("select name from sqlite_master where type = 'table'").fetchall()
            sizes = [
                db.execute(f'select count(*) from "{name}"').fetchone()[0] for (name,) in names
            ]
            counted.append({name: size for (name,), size in zip(names, sizes, strict=True)})
    now, then = counted
    return [f"fewer rows of {name}" for name in then if now.get(name, 0) < then[name]]


def draft_faults(reported: list[Row], folder: Path) -> list[str]:
    """Whether the last draft of each window is written down: it, or what was announced since."""
    right: dict[str, set[str]] = {}
    for kind, *row in reported:
        if kind == "will":
            right.setdefault(row[0], {""}).add(row[1])
        elif kind == "draft":
            right[row[0]] = {row[1]}
    faults = []
    for ini, texts in right.items():
        path = folder / Path(ini).name
        held = path.read_text("utf-8") if path.exists() else ""
        if "" not in texts and not any(text in held for text in texts):
            faults.append(f"a draft is missing: {sorted(texts)}")
    return faults


def half_files(folder: Path) -> list[str]:
    """What a program that was killed left, and what stands beside a closed journal."""
    faults = []
    for path in sorted(folder.rglob("*")):
        ends = (".half", ".tmp", ".lock", "-wal", "-shm", "-journal")
        if path.name.endswith(ends) or (".half" in path.name and path.is_file()):
            faults.append(f"left over: {path.relative_to(folder)}")
        elif path.is_file() and not path.stat().st_size and path.suffix == ".vatside":
            faults.append(f"empty: {path.relative_to(folder)}")
        elif path.suffix == ".photos" and not path.with_suffix("").exists():
            faults.append(f"of nothing: {path.relative_to(folder)}")
    return faults


def bundle_faults(zipped: Path) -> list[str]:
    """Whether a bundle is whole and its journal sound."""
    with tempfile.TemporaryDirectory() as folder, zipfile.ZipFile(zipped) as bundle:
        spoilt = bundle.testzip()
        names = [name for name in bundle.namelist() if name.endswith(".vatside")]
        if spoilt or len(names) != 1:
            return [f"a bundle is spoilt: {spoilt}, journals {names}"]
        there = There(Path(bundle.extract(names[0], folder)))
    return [f"bundle: {fault}" for fault in there.faults]


def main() -> None:
    """Answer one question."""
    asked = json.load(sys.stdin)
    path = Path(asked["journal"])
    faults: list[str] = []
    try:
        there = There(path)
        faults += there.faults + missing(there, asked["said"])
        faults += draft_faults(asked["said"], path.parent)
        for copy, reported in asked.get("backups", []):
            backup = There(path.with_name(f"{path.name}.backups") / Path(copy).name)
            faults += [f"backup: {one}" for one in backup.faults + missing(backup, reported)]
        if "rows_of" in asked:
            faults += fewer(path, Path(asked["rows_of"]))
        for kind, *row in asked["said"]:
            if kind == "new":
                new = There(path.with_name(Path(row[0]).name))
                faults += [f"new: {one}" for one in new.faults]
                faults += [f"a new journal is empty: {row}"] * (sum(new.makes.values()) != 1)
        for folder in asked.get("exports", []):
            whole = path.parent / Path(folder).name
            listed = json.loads((whole / "journal.json").read_text("utf-8"))["files"]
            lacks = [name for name in listed if not (whole / name).is_file()]
            faults += [f"an export lacks {name}" for name in lacks]
        for bundle in asked.get("bundles", []):
            faults += bundle_faults(path.parent / Path(bundle).name)
    except (sqlite3.Error, OSError, ValueError, KeyError, zlib.error, struct.error,
            zipfile.BadZipFile) as error:  # fmt: skip
        faults.append(f"not read: {type(error).__name__}: {error}")
    if asked.get("closed"):
        faults += half_files(path.parent)
    json.dump({"faults": faults, "rows": len(asked["said"])}, sys.stdout)


if __name__ == "__main__":
    main()
