"""What the window does about probes: begins those that are switched on, ends them, shows them."""

from __future__ import annotations

from PySide6.QtCore import QTimer


class ProbeActs:
    """Mixed into Window, which has `desk`. Nothing of the probes is loaded while none is on."""

    def begin_probes(self) -> None:
        """Run the sources that are switched on, once the window stands."""
        if any(source.make_id is not None for source in self.desk.journal.sources.all()):
            QTimer.singleShot(0, self, self._on_begin_probes)

    def end_probes(self) -> None:
        """Stop them all; what came is kept first."""
        if self.desk is not None and self.desk.probes is not None:
            self.desk.probes.stop()
            self.desk.probes.deleteLater()
            self.desk.probes = None

    def probes(self) -> None:
        """The sources that were set up."""
        if self.desk is None:
            return
        from journal.desk.probes.dialog import ProbesDialog

        ProbesDialog(self.desk, self).open()

    def _on_begin_probes(self) -> None:
        if self.desk is not None:
            from journal.desk.probes.bridge import bridge_on

            bridge_on(self.desk, self).sync()
