"""No network: no process of the program listens, and none connects but where a sensor is set up."""

from __future__ import annotations

import json
import random
import re
import socket
import subprocess
import sys
import tempfile
from functools import partial
from pathlib import Path

from journal.keeping import Journal
from journal.records.sources import TOPIC, Source
from tests.siege.acting import NAME, ROLES, apart, make_kitchen
from tests.siege.disk import can_record
from tests.siege.table import Tally

STRACE = ("strace", "-f", "--seccomp-bpf", "-qq", "-e", "trace=%network", "-o")
_LISTENS = re.compile(r"\b(listen|accept4?)\(")
_OUTSIDE = re.compile(r"\b(connect|sendto|sendmsg)\(.*sa_family=AF_INET")


def run(count: int, seed: int) -> Tally:
    """So many sessions of all who write, each to its end."""
    tally, rng = Tally("network"), random.Random(seed)
    tally.not_run = can_record()
    while not tally.not_run and tally.counts["sessions"] < count:
        with tempfile.TemporaryDirectory() as folder:
            _session(Path(folder), rng, tally)
    return tally


def _session(folder: Path, rng: random.Random, tally: Tally) -> None:
    kitchen = folder / "kitchen"
    kitchen.mkdir()
    apart(partial(make_kitchen, kitchen), kitchen)
    acts = str(rng.randint(5, 9))
    _seen(["tests.siege.acting", str(kitchen), acts, "0", *ROLES], kitchen, tally, "")
    with socket.create_server(("127.0.0.1", 0)) as broker:  # one that never answers
        port = broker.getsockname()[1]
        apart(partial(_set_up, kitchen / NAME, port), kitchen)
        watch = ["watch", str(kitchen / NAME), "latest", "--sensor", "broker", "--for", "2s"]
        _seen(["journal.command", *watch], kitchen, tally, rf"connect\(.*htons\({port}\)")
    tally.counts["sessions"] += 1


def _set_up(path: Path, port: int) -> None:
    """Set a sensor up that connects."""
    settings = json.dumps({"host": "127.0.0.1", "port": port, "topic": "vat"})
    with Journal.open(path) as journal:
        journal.sources.save(Source("broker", TOPIC, "milk-temp", "", settings))


def _seen(words: list[str], kitchen: Path, tally: Tally, allowed: str) -> None:
    """Run a module and read its calls."""
    calls = kitchen / "calls"
    done = subprocess.run(
        [*STRACE, str(calls), sys.executable, "-m", *words],
        stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, check=False,
    )  # fmt: skip
    if done.returncode:
        tally.faults.append(f"{words[0]}: {done.stderr[-900:]}")
    lines = calls.read_text("utf-8", "replace").splitlines()
    tally.counts["calls of sockets seen"] += len(lines)
    for line in lines:
        outside = _OUTSIDE.search(line) and not (allowed and re.search(allowed, line))
        if _LISTENS.search(line) or outside:
            call = line.partition(" ")[2].strip()
            tally.faults.append(re.sub(r"\d{4,}", "#", call))
