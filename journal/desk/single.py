"""One window for a user: a second start brings the first one forward, and hands it its file. Both
speak through a local socket of the user's own; nothing of it reaches the network."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from PySide6.QtNetwork import QLocalServer, QLocalSocket

WAIT_MS = 1500
_FORWARD = "\n"  # what is said where no file is named


class FirstWindow(QObject):
    """Listens for further starts under a name; `asked` carries the file each was to open, "" for
    none."""

    asked = Signal(str)

    def __init__(self, name: str, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._server = QLocalServer(self)
        self._server.setSocketOptions(QLocalServer.SocketOption.UserAccessOption)
        self._server.newConnection.connect(self._on_connection)
        if not self._server.listen(name):
            QLocalServer.removeServer(name)  # of a program that was killed
            self._server.listen(name)

    def close(self) -> None:
        """Listen no more."""
        self._server.close()

    def _on_connection(self) -> None:
        socket = self._server.nextPendingConnection()
        socket.disconnected.connect(self._on_disconnected)

    def _on_disconnected(self) -> None:
        socket = self.sender()
        if isinstance(socket, QLocalSocket):
            self.asked.emit(bytes(socket.readAll().data()).decode("utf-8", "replace").strip())
            socket.deleteLater()


def hand_over(name: str, path: str | None) -> bool:
    """Ask the window that is open already to come forward, and to open a file where one is named;
    False where none is."""
    socket = QLocalSocket()
    socket.connectToServer(name)
    if not socket.waitForConnected(WAIT_MS):
        return False
    socket.write((path or _FORWARD).encode())
    socket.waitForBytesWritten(WAIT_MS)
    socket.disconnectFromServer()
    return True
