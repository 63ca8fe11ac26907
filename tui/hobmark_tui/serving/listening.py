"""Where the server is reached: a port that is bound before anything is promised, and its address."""

from __future__ import annotations

import errno
import ipaddress
import socket
from dataclasses import dataclass

from hobmark.problems import Refused, shown

from hobmark_tui.commands.common import usage
from hobmark_tui.serving.guard import is_loopback

_NOWHERE = "192.0.2.1"
"""An address kept for documents: a way there is looked up, and nothing is sent."""


@dataclass(frozen=True, slots=True)
class Listening:
    """A port that is ours."""

    socket: socket.socket
    named: str
    """What the command line calls the machine."""

    @classmethod
    def at(cls, host: str, port: int) -> Listening:
        """Bind a port, a free one for 0; raise Refused where that cannot be."""
        try:
            found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
        except (OSError, UnicodeError):
            raise usage(
                f"--host '{shown(host)}' is no address of this machine.",
                "Write one, as 127.0.0.1; 0.0.0.0 stands for all of them.",
            ) from None
        family, _, _, _, address = min(found, key=lambda each: each[0] != socket.AF_INET)
        try:
            return cls(socket.create_server(address[:2], family=family), host)
        except OSError as error:
            raise _refused(host, port, error) from None

    @property
    def address(self) -> str:
        """The address that is bound."""
        return str(self.socket.getsockname()[0])

    @property
    def port(self) -> int:
        """The port that is bound."""
        return int(self.socket.getsockname()[1])

    @property
    def is_local(self) -> bool:
        """Whether only this machine itself reaches it, whatever name it was given."""
        return is_loopback(self.address)

    @property
    def url(self) -> str:
        """The address to open, for a machine that reaches this one."""
        every = ipaddress.ip_address(self.address.partition("%")[0]).is_unspecified
        host = _outward() if every else self.named
        return f"http://{f'[{host}]' if ':' in host else host}:{self.port}/"


def _outward() -> str:
    """The address that this machine has towards others, or its name where it has none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect((_NOWHERE, 9))
        except OSError:
            return socket.gethostname()
        return str(probe.getsockname()[0])


def _refused(host: str, port: int, error: OSError) -> Refused:
    if error.errno == errno.EADDRINUSE:
        return usage(f"port {port} of {shown(host)} is in use.", "Choose another with --port; 0 takes a free one.")
    if error.errno in (errno.EACCES, errno.EPERM):
        return usage(f"port {port} is not for every user.", "Choose one from 1024 on with --port; 0 takes a free one.")
    if error.errno == errno.EADDRNOTAVAIL:
        return usage(
            f"--host '{shown(host)}' is no address of this machine.",
            "Write one, as 127.0.0.1; 0.0.0.0 stands for all of them.",
        )
    return usage(
        f"port {port} of {shown(host)} cannot be used: {error.strerror or error}.", "Choose another address or port."
    )
