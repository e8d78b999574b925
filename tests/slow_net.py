"""A bad Wi-Fi in a test's hand: stands between browser and program, holds what passes, bunches it, delays it.

Order within a connection is kept, as TCP keeps it; when anything arrives is what it changes.
"""

from __future__ import annotations

import random
import socket
import threading
import time
from types import TracebackType

CHUNK = 65536


class SlowNet:
    """A port of this machine that passes on to another.

    `bunch_s` holds what comes until the next full multiple of it, in one piece; `delay_s` holds each piece for
    up to so long by chance. Both may be changed while it runs; 0 passes everything on at once.
    """

    def __init__(self, to: int, seed: int = 1) -> None:
        self.to = to
        self.bunch_s = 0.0
        self.delay_s = 0.0
        self._random = random.Random(seed)
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.port = int(self._listener.getsockname()[1])
        self.url = f"http://127.0.0.1:{self.port}"
        self._open: list[socket.socket] = []

    def __enter__(self) -> SlowNet:
        threading.Thread(target=self._accept, daemon=True).start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._listener.close()
        for end in self._open:
            end.close()

    def _accept(self) -> None:
        while True:
            try:
                near, _ = self._listener.accept()
                far = socket.create_connection(("127.0.0.1", self.to))
            except OSError:
                return
            for end in (near, far):
                end.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            self._open += [near, far]
            threading.Thread(target=self._pass, args=(near, far), daemon=True).start()
            threading.Thread(target=self._pass, args=(far, near), daemon=True).start()

    def _pass(self, source: socket.socket, sink: socket.socket) -> None:
        try:
            while piece := source.recv(CHUNK):
                self._hold()
                sink.sendall(piece)
            sink.shutdown(socket.SHUT_WR)
        except OSError:
            source.close()
            sink.close()

    def _hold(self) -> None:
        if self.bunch_s:
            time.sleep(self.bunch_s - time.monotonic() % self.bunch_s)
        if self.delay_s:
            time.sleep(self._random.random() * self.delay_s)
