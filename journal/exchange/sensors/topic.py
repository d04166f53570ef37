"""An MQTT topic: each message a reading, as a plain number or a field of JSON."""

from __future__ import annotations

import socket
import ssl
import zlib
from collections import deque
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from journal.exchange import ExchangeError
from journal.exchange.sensors.sensor import PasswordWanted, Sensor, SensorFault
from journal.exchange.sensors.understanding import (
    LONGEST,
    NotUnderstood,
    field_of,
    instant_of,
    json_of,
    plain_text,
    value_of,
)
from journal.message import Message
from journal.records.kinds import READING_KINDS
from journal.records.sources import Arrived, Source
from journal.wording import text_of, worded
from journal.wording.readings import reading_text

if TYPE_CHECKING:
    from paho.mqtt.client import Client, MQTTMessage

PORT, TLS_PORT = 1883, 8883
_KEEPALIVE_S = 20
_LOOP_S = 0.1
_LARGEST = 1 << 20  # bytes of a message
_SEEN = 2048  # messages by which one that comes again is known: more than a broker keeps by default
_BAD_PASSWORD = (4, 5, 134, 135)  # what a broker answers to a wrong name or password


class TopicSensor(Sensor):
    """Subscribes with a session the broker keeps, and acknowledges a message once its reading is
    durable: what was sent while the program was away comes afterwards.

    A message that the broker sends again is known by its number and contents, across a crash of
    ours by the mark. What the *publisher* sends again is a new message to the broker: it is told
    apart only by a time or a count inside it (`time`, `count`).

    So with QoS 1 or 2 at the sensor nothing is lost and the order kept while this program or the
    broker is away, as long as the broker writes what it stores to disk. Two things cannot be
    helped at this end, and `caution` or the tests say so: what is published with QoS 0 meanwhile
    is gone, and so is what a broker that is killed outright had acknowledged and neither sent on
    nor written.
    `trial` reads without leaving anything at the broker.
    """

    def __init__(
        self,
        source: Source,
        *,
        zone: str = "UTC",
        password: Callable[[], str | None] | None = None,
        trial: bool = False,
        **others: Any,
    ) -> None:
        super().__init__(source, **others)
        self._zone = zone
        self._password = password
        self._trial = trial
        self._kind = READING_KINDS[source.reading]
        self._topic = source.text("topic")
        self._host = source.text("host")
        self._tls = bool(source.options.get("tls"))
        self._port = source.number("port", TLS_PORT if self._tls else PORT)
        self._seen: deque[tuple[int, int]] = deque(maxlen=_SEEN)
        self._seen.extend((int(mid), int(sum_)) for mid, sum_ in self._mark.get("seen", ()))
        self._unacked: dict[int, tuple[int, int]] = {}  # message number: its sum, its batch
        self._begun = bool(self._mark)
        self._fault: SensorFault | None = None

    # The connection

    def _session(self) -> None:
        if not self._begun and not self._trial:
            self._forget_older()
        client = self._open(clean=self._trial)
        try:
            while not self._ending.is_set():
                self._turn(client)
        finally:
            self._acknowledge(client)
            _leave(client)

    def _turn(self, client: Client) -> None:
        """Let the connection work for a moment."""
        self._acknowledge(client)
        code = client.loop(_LOOP_S)
        if self._fault is not None:
            raise self._fault
        if code != 0:
            raise SensorFault("exchange.connection-lost", host=self._host)

    def _bound(self, client: Client) -> None:
        """Read no message that says it is larger than any reading: nothing of it is held."""
        receive = client._sock_recv  # noqa: SLF001 - there is no setting for it

        def receive_some(size: int) -> bytes:
            if size > _LARGEST:
                self._fault = SensorFault("exchange.message-too-large", host=self._host)
                raise BlockingIOError
            return receive(size)

        client._sock_recv = receive_some  # type: ignore[assignment] # noqa: SLF001

    def _forget_older(self) -> None:
        """Let the broker drop what it stored for an earlier make."""
        client = self._open(clean=True, listen=False)
        try:
            while not client.is_connected() and not self._ending.is_set():
                self._turn(client)
        finally:
            _leave(client)

    def _open(self, *, clean: bool, listen: bool = True) -> Client:
        from paho.mqtt.client import Client
        from paho.mqtt.enums import CallbackAPIVersion

        self._fault = None
        client = Client(
            CallbackAPIVersion.VERSION2,
            client_id=self._client_id(),
            clean_session=clean,
            reconnect_on_failure=False,
            manual_ack=True,
        )
        self._bound(client)
        client.on_connect = self._on_connect if listen else self._on_answer
        client.on_subscribe = self._on_subscribe
        client.on_message = self._on_message
        self._say_who(client)
        context = _Context(self.source.text("authority")) if self._tls else None
        try:
            if context is not None:
                client.tls_set_context(context)
            client.connect(self._host, self._port, keepalive=_KEEPALIVE_S)
        except (OSError, ValueError) as error:
            if context is not None:
                context.close_last()
            raise self._out_of_reach(error) from None
        _pair_within(client)
        return client

    def _client_id(self) -> str:
        where = zlib.crc32(f"{self._host} {self._topic}".encode())
        return f"vatside-{self.source.uuid[:12]}-{where:08x}{'-trial' if self._trial else ''}"

    def _say_who(self, client: Client) -> None:
        user = self.source.text("user")
        if user:
            password = self._password() if self._password else None
            if password is None:
                raise PasswordWanted("exchange.needs-password", host=self._host, user=user)
            client.username_pw_set(user, password)

    def _out_of_reach(self, error: Exception) -> SensorFault:
        why: object = error
        if isinstance(error, ssl.SSLCertVerificationError):
            which, why = "exchange.certificate-refused", error.verify_message
        elif isinstance(error, ssl.SSLError):
            which = "exchange.no-tls"
        elif isinstance(error, ConnectionRefusedError):
            which = "exchange.no-broker"
        elif isinstance(error, TimeoutError):
            which = "exchange.broker-too-late"
        else:
            which = "exchange.broker-out-of-reach"
            why = text_of(error) or Message("exchange.no-reason-given")
        return SensorFault(which, host=self._host, port=self._port, why=why)

    # What the broker says

    def _on_answer(self, client: Client, _data: Any, flags: Any, reason: Any, _more: Any) -> None:
        if not reason.is_failure:
            return
        wanted = reason.value in _BAD_PASSWORD and self.source.text("user")
        kind = PasswordWanted if wanted else SensorFault
        self._fault = kind("exchange.refused", host=self._host, why=str(reason).lower())

    def _on_connect(self, client: Client, data: Any, flags: Any, reason: Any, more: Any) -> None:
        self._on_answer(client, data, flags, reason, more)
        if self._fault is not None:
            return
        if not flags.session_present:
            self._forget_numbers()
        client.subscribe(self._topic, qos=1)

    def _forget_numbers(self) -> None:
        """The broker knows nothing of before: its numbers begin again, what came stays known."""
        self._unacked.clear()
        known = [sum_ for _, sum_ in self._seen]
        self._seen.clear()
        self._seen.extend((0, sum_) for sum_ in known)  # no message has the number 0

    def _on_subscribe(
        self, _client: Client, _data: Any, _mid: int, reasons: list[Any], _more: Any
    ) -> None:
        if reasons and reasons[0].is_failure:
            self._fault = SensorFault("exchange.topic-refused", host=self._host, topic=self._topic)
            return
        self._connected()
        if not self._begun and not self._trial:
            self._begun = True
            self._hand_on([], self._marked())

    def _on_message(self, client: Client, _data: Any, message: MQTTMessage) -> None:
        self.caution = "" if message.qos else worded("exchange.at-most-once")
        sum_ = zlib.crc32(_name_of(message) + b"\0" + message.payload)
        if message.qos and self._comes_again(message, sum_):
            if message.mid not in self._unacked:
                client.ack(message.mid, message.qos)
            return
        arrived = self._understood(message)
        if message.qos:
            self._seen.append((message.mid, sum_))
        if arrived is None:
            if message.qos:
                client.ack(message.mid, message.qos)
            return
        number = self._hand_on([arrived], self._marked())
        if message.qos:
            self._unacked[message.mid] = (sum_, number)
            if self._trial:
                self.kept(number)

    def _comes_again(self, message: MQTTMessage, sum_: int) -> bool:
        """Whether the broker sends a message that was handed on before."""
        waiting = self._unacked.get(message.mid)
        if waiting is not None and waiting[0] == sum_:
            return True
        if message.dup and (message.mid, sum_) in self._seen:
            return True
        return bool(self.source.text("count")) and any(sum_ == old for _, old in self._seen)

    def _acknowledge(self, client: Client) -> None:
        if not client.is_connected():
            return
        for mid in [mid for mid, (_, batch) in self._unacked.items() if batch <= self._kept]:
            client.ack(mid, 1)
            del self._unacked[mid]

    def _marked(self) -> dict[str, Any]:
        return {"seen": tuple(self._seen), "at": self._last_at_ms}

    # What a message means

    def _understood(self, message: MQTTMessage) -> Arrived | None:
        text = message.payload[:LONGEST].decode("utf-8", "replace")
        try:
            arrived = self._reading(text, retained=message.retain)
        except ExchangeError as error:
            self._tell(text, text_of(error), good=False)
            return None
        self._tell(text, reading_text(arrived.kind, arrived.value), good=True)
        return arrived

    def _reading(self, text: str, *, retained: bool) -> Arrived:
        field, time = self.source.text("field"), self.source.text("time")
        found = json_of(text) if field or time or self.source.text("count") else None
        value_text = plain_text(field_of(found, field), field) if field else text
        value = value_of(value_text, self._kind, self.source.unit)
        if self.source.text("count"):
            field_of(found, self.source.text("count"))
        if not time:
            if retained:
                raise NotUnderstood("exchange.older-value")
            return Arrived(self._arrival_ms(), self._kind.key, value)
        at_ms = instant_of(field_of(found, time), self._zone)
        if at_ms < self._since_ms:
            raise NotUnderstood("exchange.before-the-make")
        return Arrived(at_ms, self._kind.key, value)


def _name_of(message: MQTTMessage) -> bytes:
    """The topic; a broker may send one that is no text."""
    try:
        return message.topic.encode()
    except UnicodeDecodeError:
        return b""


class _Context(ssl.SSLContext):
    """Trusts the system's authorities, or the one in a file, and closes what it failed to open."""

    _last: ssl.SSLSocket | None = None

    def __new__(cls, _authority: str) -> _Context:
        return super().__new__(cls, ssl.PROTOCOL_TLS_CLIENT)

    def __init__(self, authority: str) -> None:
        if not authority:
            self.load_default_certs()
            return
        try:
            self.load_verify_locations(cafile=authority)
        except OSError as error:
            why = error.strerror or Message("exchange.no-certificate")
            raise SensorFault("exchange.authority-not-read", file=authority, why=why) from None

    def wrap_socket(self, *args: Any, **others: Any) -> ssl.SSLSocket:
        """Wrap a socket, and remember it: one whose handshake fails is left open otherwise."""
        self._last = super().wrap_socket(*args, **others)
        return self._last

    def close_last(self) -> None:
        """Close the socket that was opened last."""
        if self._last is not None:
            self._last.close()


def _pair_within(client: Client) -> None:
    """Give the client the pair of sockets that it wakes itself by: what it makes itself listens on
    the network for a moment."""
    pair = socket.socketpair()
    for each in pair:
        each.setblocking(False)
    client._sockpairR, client._sockpairW = pair  # noqa: SLF001 - it has no other way


def _leave(client: Client) -> None:
    """Say goodbye; the broker keeps the session where it was asked to."""
    client.disconnect()
    for _ in range(20):
        if client.loop(_LOOP_S) != 0:
            return
