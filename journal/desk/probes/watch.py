"""The probes in the vat: a small line for each source that is switched on, a word when silent."""

from __future__ import annotations

from PySide6.QtCore import QElapsedTimer
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.desk.buttons import WordButton
from journal.desk.labels import Label, Triangle
from journal.desk.place import Place
from journal.desk.probes.words import attention_words, line_words, needs_attention
from journal.desk.theme import SMALL, STEP
from journal.keeping import Change

WATCH = "probe watch"  # by this name a new bridge finds those that are to follow it
LOOK_AHEAD_MS = 15_000
_SAID = "probes"


class ProbeLine(QWidget):
    """One source: how it is and its last value."""

    def __init__(self, watch: ProbeWatch) -> None:
        super().__init__(watch)
        self._watch = watch
        self._running = None
        self.mark = Triangle()
        self.label = Label("", SMALL, role="quiet", wrap=True)
        self.password = WordButton("Password…", size=SMALL)
        self.password.clicked.connect(self._on_password)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2 * STEP)
        row.addWidget(self.mark)
        row.addWidget(self.label, 1)
        row.addWidget(self.password)

    def show_running(self, running, open_make: int | None, now_ms: int) -> None:
        """Show a source as it is."""
        self._running = running
        make, state = running.make, running.state
        words = line_words(running.source.name, state, running.latest, make.zone)
        text = words if make.id == open_make else f"{make.code} · {words}"
        wrong = needs_attention(state, now_ms)
        if text != self.label.text():
            self.label.setText(text)
            self.setAccessibleName(text)
        self.label.set_role("attention" if wrong else "quiet")
        self.mark.setVisible(wrong)
        self.password.setVisible(state.asks_password)

    def _on_password(self) -> None:
        from journal.desk.probes.password import AskPassword

        asked = AskPassword(self._running.source, self._watch.window())
        asked.given.connect(self._watch.give_password)
        asked.open()


class ProbeWatch(QWidget):
    """Stands at the foot of the vat's left page, and takes no room while nothing is switched on.

    A source that fell silent is said in the place once, until it speaks again.
    """

    def __init__(self, place: Place) -> None:
        super().__init__(place.page)
        self._place = place
        self._bridge = None
        self._lines: dict[str, ProbeLine] = {}
        self._told: dict[str, str] = {}
        self._looked = QElapsedTimer()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(8 * STEP, 0, 6 * STEP, 0)
        self._column.setSpacing(STEP)
        self.setAccessibleName("Probes")
        place.page.layout().insertWidget(1, self)
        self.hide()
        self.setObjectName(WATCH)
        self.follow()

    def follow(self) -> None:
        """Follow the desk's bridge, once there is one; until then nothing of it is loaded."""
        bridge = self._place.desk.probes
        if bridge is None or bridge is self._bridge:
            return
        self._bridge = bridge
        bridge.changed.connect(self._on_changed)
        bridge.said.connect(self._on_said)
        self._on_changed()

    def give_password(self, source, password: str) -> None:
        """Hand a typed password on."""
        self._bridge.give_password(source, password)

    def may_look_ahead(self, change: Change) -> bool:
        """Whether to reckon anew what is to come: at once for what a person did, now and then
        while a probe goes on."""
        streamed = self._bridge is not None and change.initiator is self._bridge
        if streamed and self._looked.isValid() and self._looked.elapsed() < LOOK_AHEAD_MS:
            return False
        self._looked.start()
        return True

    @property
    def lines(self) -> list[ProbeLine]:
        """The lines shown."""
        return list(self._lines.values())

    def _on_changed(self) -> None:
        desk = self._place.desk
        running, now = self._bridge.running, desk.clock()
        for uuid in set(self._lines) - {one.source.uuid for one in running}:
            line = self._lines.pop(uuid)
            self._column.removeWidget(line)
            line.hide()
            line.deleteLater()
        for one in running:
            line = self._lines.get(one.source.uuid)
            if line is None:
                line = self._lines[one.source.uuid] = ProbeLine(self)
                self._column.addWidget(line)
            line.show_running(one, desk.make_id, now)
        self.setVisible(bool(running))
        self._tell(running, now)

    def _tell(self, running, now_ms: int) -> None:
        wrong = {
            one.source.uuid: attention_words(one.source.name, one.state, one.make.zone)
            for one in running
            if needs_attention(one.state, now_ms)
        }
        for uuid in set(self._told) - set(wrong):
            self._place.clear(f"{_SAID} {uuid}")
        for uuid, sentence in wrong.items():
            if self._told.get(uuid) != sentence:
                self._place.say(f"{_SAID} {uuid}", sentence)
        self._told = wrong

    def _on_said(self, sentence: str) -> None:
        self._place.say(_SAID, sentence)
