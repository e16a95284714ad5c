"""A relay to the daemon that cuts the event stream once, in the middle of a run."""

import socket
import threading


class CuttingRelay:
    def __init__(self, port, cut_at):
        self.daemon_port = port
        self.cut_at = cut_at  # bytes of an event; the first stream in which they come is cut there
        self.has_cut = False
        self.listener = socket.create_server(("127.0.0.1", 0))
        self.port = self.listener.getsockname()[1]
        threading.Thread(target=self._accept, daemon=True).start()

    def _accept(self):
        while True:
            try:
                client, _ = self.listener.accept()
            except OSError:
                return
            daemon = socket.create_connection(("127.0.0.1", self.daemon_port))
            threading.Thread(target=self._pump, args=(client, daemon, False), daemon=True).start()
            threading.Thread(target=self._pump, args=(daemon, client, True), daemon=True).start()

    def _pump(self, source, target, may_cut):
        try:
            while data := source.recv(65536):
                if may_cut and not self.has_cut and self.cut_at in data:
                    self.has_cut = True
                    break
                target.sendall(data)
        except OSError:
            pass
        for end in (source, target):
            try:
                end.shutdown(socket.SHUT_RDWR)
            except OSError:
                pass

    def close(self):
        self.listener.shutdown(socket.SHUT_RDWR)
        self.listener.close()
