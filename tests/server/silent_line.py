"""A line over TCP that can be cut so that nobody is told: what is sent vanishes, and no end of connection comes."""

import contextlib
import socket
import threading

WAYS = ("what is sent", "what is answered")


class SilentLine:
    """A port before the server's socket; ``address``: the shop's, over it."""

    def __init__(self, address: str) -> None:
        start, _, query = address.partition("?")
        self._behind = f"{query.partition('host=')[2].partition('&')[0]}/.s.PGSQL.5432"
        self._door = socket.create_server(("127.0.0.1", 0))
        self._open: list[socket.socket] = []
        self._swallowed: dict[socket.socket, tuple[str, ...]] = {}
        place = start.replace("@/", f"@127.0.0.1:{self._door.getsockname()[1]}/")
        options = "&".join(each for each in query.split("&") if not each.startswith("host="))
        self.address = f"{place}?sslmode=disable&gssencmode=disable&{options}"
        threading.Thread(target=self._serve, daemon=True).start()

    def cut(self, *ways: str) -> None:
        """From now on, on all connections there are: ``what is sent`` and ``what is answered`` vanish."""
        self._swallowed.update(dict.fromkeys(self._open, ways))

    def close(self) -> None:
        for each in (self._door, *self._open):
            with contextlib.suppress(OSError):
                each.shutdown(socket.SHUT_RDWR)
            each.close()

    def _serve(self) -> None:
        with contextlib.suppress(OSError):
            while True:
                client, _ = self._door.accept()
                server = socket.socket(socket.AF_UNIX)
                server.connect(self._behind)
                self._open += [client, server]
                for one, other, way in ((client, server, WAYS[0]), (server, client, WAYS[1])):
                    threading.Thread(target=self._pass, args=(one, other, way), daemon=True).start()

    def _pass(self, one: socket.socket, other: socket.socket, way: str) -> None:
        with contextlib.suppress(OSError):
            while data := one.recv(65536):
                if way not in self._swallowed.get(one, ()):
                    other.sendall(data)
            if one not in self._swallowed:
                other.shutdown(socket.SHUT_WR)
