"""Who is let in: the right name of this machine, the page's own origin, and where others can reach it, the token."""

from __future__ import annotations

import hmac
import ipaddress
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from urllib.parse import urlsplit

from aiohttp import web

WRONG_HOST = "This name does not belong to hobmark. Open the address that `hobmark serve` printed.\n"
WRONG_ORIGIN = "Another web page asks for this, and hobmark answers only its own.\n"
NO_TOKEN = "This needs the token: open the whole address that `hobmark serve` printed.\n"
TOKEN = "token"
"""The parameter of the address that carries the token, once."""
POLICY = {
    "default-src": "'self'",
    "script-src": "'self' 'unsafe-inline'",
    "style-src": "'self' 'unsafe-inline'",
    "img-src": "'self' data:",
    "font-src": "'self' data:",
    "base-uri": "'none'",
    "form-action": "'none'",
    "frame-ancestors": "'none'",
}
"""What a browser may load for our pages, nothing of it from elsewhere, and who may frame them: nobody."""
HEADERS = {
    "Content-Security-Policy": "; ".join(f"{name} {allowed}" for name, allowed in POLICY.items()),
    "X-Frame-Options": "DENY",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
}
"""What goes with every answer."""

Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]


@dataclass(frozen=True, slots=True)
class Guard:
    """What a request must bring. With a token it needs that; without, it must have asked for this machine by name."""

    token: str | None = None
    name: str = "localhost"
    """The name that was asked for on the command line; the others of this machine are known."""
    cookie: str = "hobmark"
    """Cookies of one machine are shared by its ports: each server needs a name of its own."""

    def install(self, app: web.Application) -> None:
        """Stand before every request of an application, those for what is not there too."""

        @web.middleware
        async def guarded(request: web.Request, handler: Handler) -> web.StreamResponse:
            refused = self.refusal(request)
            return refused if refused is not None else await handler(request)

        app.middlewares.append(guarded)
        app.on_response_prepare.append(_with_headers)

    def refusal(self, request: web.Request) -> web.StreamResponse | None:
        """The answer to a request that goes no further; None for one that is let in.

        A page elsewhere can lead this machine's browser here under a name of its own (DNS rebinding), and can open a
        WebSocket to any address: the host and the origin that the browser tells give it away.
        """
        if self.token is None and not self._is_local(request.headers.get("Host", "")):
            return web.Response(status=403, text=WRONG_HOST)
        if not _is_own(request):
            return web.Response(status=403, text=WRONG_ORIGIN)
        if self.token is None:
            return None
        known = self._fits(request.cookies.get(self.cookie))
        given = request.query.get(TOKEN) if request.path == "/" else None
        if given is not None and (known or self._fits(given)):
            return self._without_token(request)
        return None if known else web.Response(status=401, text=NO_TOKEN)

    def _fits(self, given: str | None) -> bool:
        """Compare in a time that tells nothing of how far the two agree."""
        return hmac.compare_digest((given or "").encode("utf-8", "replace"), (self.token or "").encode())

    def _without_token(self, request: web.Request) -> web.Response:
        """The token goes into a cookie that no script reads, and out of the address, the history and the bookmarks."""
        clean = str(request.rel_url.without_query_params(TOKEN))
        if request.headers.get("Sec-Fetch-Site") == "cross-site":
            # Followed from another site, a redirect would not bring the strict cookie back; the page's own step does.
            response = web.Response(text="Opening hobmark.\n", headers={"Refresh": f"0; url={clean}"})
        else:
            response = web.Response(status=303, headers={"Location": clean})
        response.headers["Cache-Control"] = "no-store"
        response.set_cookie(self.cookie, self.token or "", httponly=True, samesite="Strict", path="/")
        return response

    def _is_local(self, host: str) -> bool:
        try:
            name = urlsplit(f"//{host}").hostname or ""
        except ValueError:
            return False
        return name in ("localhost", self.name.lower()) or is_loopback(name)


def is_loopback(address: str) -> bool:
    """Whether this is an address, not a name, by which a machine reaches only itself."""
    try:
        return ipaddress.ip_address(address).is_loopback
    except ValueError:
        return False


def _is_own(request: web.Request) -> bool:
    """Whether a request comes from our own page; a browser names the origin of every WebSocket."""
    origin = request.headers.get("Origin")
    if origin is None:
        return request.headers.get("Upgrade", "").lower() != "websocket"
    scheme, _, place = origin.lower().partition("://")
    return scheme in ("http", "https") and place == request.headers.get("Host", "").lower()


async def _with_headers(_: web.Request, response: web.StreamResponse) -> None:
    response.headers.update(HEADERS)
