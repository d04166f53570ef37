"""A real broker on loopback that can be killed and started again, and a sensor that publishes."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path

import pytest

PASSWORD = "rennet at 31"
PATIENCE_S = 20.0
PATHS = os.pathsep.join([os.environ.get("PATH", ""), "/usr/sbin", "/usr/local/sbin"])


def until(condition: Callable[[], object], what: str = "it never came true") -> None:
    """Wait for a condition that another thread brings about."""
    tick, end = threading.Event(), time.monotonic() + PATIENCE_S
    while not condition():
        assert time.monotonic() < end, what
        tick.wait(0.005)


class Broker:
    """A real mosquitto on loopback; it remembers across a kill unless it is told otherwise."""

    def __init__(self, folder: Path, *lines: str, port: int = 0, remembers: bool = True) -> None:
        self.port = port or free_port()
        self.authority = ""
        self.conf = folder / "broker.conf"
        memory = [
            "persistence true",
            f"persistence_location {folder}/",
            "autosave_interval 1",
            "autosave_on_changes true",
        ]
        self.conf.write_text(
            "\n".join(
                [
                    f"listener {self.port} 127.0.0.1",
                    *(memory if remembers else []),
                    "max_queued_messages 0",
                    *(["user root"] if os.geteuid() == 0 else []),
                    *(lines or ["allow_anonymous true"]),
                ]
            )
            + "\n"
        )
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        program = shutil.which("mosquitto", path=PATHS)
        if program is None:
            pytest.skip("no mosquitto on this machine to test on (.ci/run installs it)")
        self._process = subprocess.Popen(
            [program, "-c", str(self.conf)],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        until(self._answers, "the broker does not answer")

    def _answers(self) -> bool:
        with socket.socket() as attempt:
            return attempt.connect_ex(("127.0.0.1", self.port)) == 0

    def end(self, how: signal.Signals = signal.SIGTERM) -> None:
        if self._process is not None:
            until(partial(self._gone, self._process, how), "the broker does not end")
            self._process = None

    def _gone(self, process: subprocess.Popen[bytes], how: signal.Signals) -> bool:
        """Ask it to end, again where it missed the signal as it began to wait."""
        process.send_signal(how)
        with suppress(subprocess.TimeoutExpired):
            process.wait(PATIENCE_S / 10)
        return process.returncode is not None


def free_port() -> int:
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        return int(held.getsockname()[1])


class Publisher:
    """A sensor that publishes at least once and connects again by itself."""

    def __init__(
        self, port: int, topic: str = "kitchen/vat", guarded: Broker | None = None
    ) -> None:
        from paho.mqtt.client import Client
        from paho.mqtt.enums import CallbackAPIVersion

        self.topic = topic
        self.client = Client(CallbackAPIVersion.VERSION2, client_id="sensor", clean_session=False)
        self.client.reconnect_delay_set(1, 1)
        if guarded is not None:
            self.client.username_pw_set("vat", PASSWORD)
            self.client.tls_set(guarded.authority)
        host = "127.0.0.1" if guarded is None else "localhost"
        self.client.connect_async(host, port, keepalive=5)
        self.client.loop_start()
        self.client.on_publish = self._on_out
        self._sent = self._out = 0
        self._payloads: dict[int, str] = {}
        self.taken: list[str] = []  # what the broker said it had taken, in that order

    def send(self, payload: str, *, qos: int = 1, retain: bool = False) -> None:
        self._sent += 1
        report = self.client.publish(self.topic, payload, qos=qos, retain=retain)
        self._payloads[report.mid] = payload

    def all_out(self) -> bool:
        return self._out == self._sent

    def _on_out(self, _client: object, _data: object, mid: int, *_about: object) -> None:
        self.taken.append(self._payloads.get(mid, ""))
        self._out += 1

    def close(self) -> None:
        self.client.disconnect()
        self.client.loop_stop()


def guarded_broker(folder: Path) -> Broker:
    """A broker on localhost that wants the user "vat", a password and TLS; its certificate is in
    `broker.pem` in that folder."""
    folder.mkdir()
    make_certificate(folder)
    passwords = folder / "passwords"
    passwords.write_text(f"vat:{PASSWORD}\n")
    program = shutil.which("mosquitto_passwd", path=PATHS)
    if program is None:
        pytest.skip("no mosquitto on this machine to test on (.ci/run installs it)")
    subprocess.run([program, "-U", str(passwords)], check=True, capture_output=True)
    made = Broker(
        folder,
        "allow_anonymous false",
        f"password_file {passwords}",
        f"certfile {folder}/broker.pem",
        f"keyfile {folder}/broker.key",
    )
    made.authority = str(folder / "broker.pem")
    return made


def make_certificate(folder: Path) -> None:
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec

    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "kitchen broker")])
    now = datetime.now(UTC)
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=1))
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .add_extension(x509.SubjectAlternativeName([x509.DNSName("localhost")]), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    pem = serialization.Encoding.PEM
    (folder / "broker.pem").write_bytes(made.public_bytes(pem))
    (folder / "broker.key").write_bytes(
        key.private_bytes(pem, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    )
