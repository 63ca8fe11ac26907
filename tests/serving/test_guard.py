"""Who is let in, and what every answer brings."""

from __future__ import annotations

import re

import aiohttp
import pytest
from hobmark_tui.serving.guard import NO_TOKEN, WRONG_HOST, WRONG_ORIGIN, Guard
from hobmark_tui.serving.server import PAGE

from .a_tab import ONE, Client, Served, origin, tab, told

TOKEN = "right-token"
PLACES = ["/", "/static/js/textual.js", "/static/", "/ws", f"/ws/{ONE}", "/download/any", "/nothing"]


async def admitted(client: Client) -> None:
    """Open the address with the token, as a browser does that keeps the cookie."""
    async with client.get("/", params={"token": TOKEN}) as answer:
        assert answer.status == 200


# On this machine only: no token, but the names of this machine and the page's own origin.


@pytest.mark.parametrize(
    "host", ["localhost", "LOCALHOST:9000", "127.0.0.1:8000", "127.9.9.9", "[::1]:8000", "Workshop"]
)
async def test_a_name_of_this_machine_is_answered(served: Served, host: str) -> None:
    async with served(Guard(name="workshop")) as client, client.get("/", headers={"Host": host}) as answer:
        assert answer.status == 200


@pytest.mark.parametrize(
    "host",
    ["evil.example", "evil.example:8000", "127.0.0.1.evil.example", "localhost@evil.example", "192.0.2.1", "[", ""],
)
@pytest.mark.parametrize("place", PLACES)
async def test_another_name_is_refused_since_any_page_can_give_this_machine_one(
    served: Served, host: str, place: str
) -> None:
    async with served() as client, client.get(place, headers={"Host": host}) as answer:
        assert (answer.status, await answer.text()) == (403, WRONG_HOST)


@pytest.mark.parametrize("other", ["http://localhost:3000", "http://evil.example", "null", "", "file://"])
async def test_another_page_opens_no_websocket(served: Served, other: str) -> None:
    async with served() as client:
        with pytest.raises(aiohttp.WSServerHandshakeError) as refused:
            await client.ws_connect("/ws", headers={"Origin": other})
        assert refused.value.status == 403


async def test_a_websocket_without_an_origin_comes_from_no_browser_and_is_refused(served: Served) -> None:
    async with served() as client:
        with pytest.raises(aiohttp.WSServerHandshakeError) as refused:
            await client.ws_connect("/ws")
        assert refused.value.status == 403


async def test_another_page_is_told_why_it_gets_nothing(served: Served) -> None:
    async with served() as client, client.get("/", headers={"Origin": "http://evil.example"}) as answer:
        assert (answer.status, await answer.text()) == (403, WRONG_ORIGIN)


async def test_a_tunnel_may_give_it_another_port(served: Served) -> None:
    reached = {"Host": "localhost:9999", "Origin": "http://localhost:9999"}
    async with served() as client, client.ws_connect("/ws", headers=reached) as socket:
        assert await told(socket)


# To others: the token.


@pytest.mark.parametrize("place", PLACES)
async def test_without_the_token_there_is_nothing(served: Served, place: str) -> None:
    async with served(Guard(TOKEN)) as client, client.get(place) as answer:
        assert (answer.status, await answer.text()) == (401, NO_TOKEN)


@pytest.mark.parametrize("given", ["", "wrong", TOKEN[:-1], f"{TOKEN}x", TOKEN.upper(), "\N{SNOWMAN}", "\udcff"])
async def test_a_wrong_token_opens_nothing(served: Served, given: str) -> None:
    query = "/?token=" + given.encode("utf-8", "surrogateescape").decode("latin-1")
    async with served(Guard(TOKEN)) as client, client.get(query, allow_redirects=False) as answer:
        assert answer.status == 401


@pytest.mark.parametrize("place", PLACES[1:])
async def test_the_token_is_taken_on_the_page_alone(served: Served, place: str) -> None:
    async with served(Guard(TOKEN)) as client, client.get(place, params={"token": TOKEN}) as answer:
        assert answer.status == 401


@pytest.mark.parametrize("place", PLACES)
async def test_a_wrong_cookie_opens_nothing(served: Served, place: str) -> None:
    async with served(Guard(TOKEN)) as client, client.get(place, headers={"Cookie": "hobmark=wrong"}) as answer:
        assert answer.status == 401


async def test_the_websocket_needs_the_token(served: Served) -> None:
    async with served(Guard(TOKEN)) as client:
        with pytest.raises(aiohttp.WSServerHandshakeError) as refused:
            await client.ws_connect(f"/ws/{ONE}", headers=origin(client))
        assert refused.value.status == 401


async def test_the_right_token_leaves_the_address_and_nothing_else_does(served: Served) -> None:
    query = {"token": TOKEN, "fontsize": "20"}
    async with (
        served(Guard(TOKEN)) as client,
        client.get("/", params=query, allow_redirects=False) as answer,
    ):
        assert (answer.status, answer.headers["Location"]) == (303, "/?fontsize=20")


async def test_the_token_is_kept_where_no_script_and_no_other_site_has_it(served: Served) -> None:
    async with (
        served(Guard(TOKEN, cookie="hobmark-8000")) as client,
        client.get("/", params={"token": TOKEN}, allow_redirects=False) as answer,
    ):
        kept = answer.cookies["hobmark-8000"]
        assert (kept.value, kept["httponly"], kept["samesite"], kept["path"]) == (TOKEN, True, "Strict", "/")


async def test_from_another_site_the_page_itself_goes_on_since_a_redirect_would_lose_the_cookie(served: Served) -> None:
    async with (
        served(Guard(TOKEN)) as client,
        client.get("/", params={"token": TOKEN}, headers={"Sec-Fetch-Site": "cross-site"}) as answer,
    ):
        assert (answer.status, answer.headers["Refresh"]) == (200, "0; url=/")
        assert "hobmark" in answer.cookies


@pytest.mark.parametrize(("place", "status"), [("/", 200), ("/static/js/textual.js", 200), ("/download/any", 404)])
async def test_the_cookie_opens_everything(served: Served, place: str, status: int) -> None:
    async with served(Guard(TOKEN)) as client:
        await admitted(client)
        async with client.get(place) as answer:
            assert answer.status == status


async def test_the_cookie_opens_the_websocket(served: Served) -> None:
    async with served(Guard(TOKEN)) as client:
        await admitted(client)
        async with tab(client) as socket:
            assert await told(socket)


async def test_with_the_cookie_too_another_page_opens_no_websocket(served: Served) -> None:
    async with served(Guard(TOKEN)) as client:
        await admitted(client)
        with pytest.raises(aiohttp.WSServerHandshakeError) as refused:
            await client.ws_connect("/ws", headers={"Origin": "http://127.0.0.1:1"})
        assert refused.value.status == 403


async def test_an_old_token_in_the_address_does_not_lock_out_whom_the_cookie_lets_in(served: Served) -> None:
    async with served(Guard(TOKEN)) as client:
        await admitted(client)
        async with client.get("/", params={"token": "old"}) as answer:
            assert (answer.status, answer.url.query_string) == (200, "")


async def test_with_the_token_any_name_of_the_machine_will_do(served: Served) -> None:
    async with (
        served(Guard(TOKEN)) as client,
        client.get("/", params={"token": TOKEN}, headers={"Host": "workshop.lan"}, allow_redirects=False) as answer,
    ):
        assert answer.status == 303


@pytest.mark.parametrize("place", PLACES)
async def test_every_answer_forbids_a_browser_to_load_from_elsewhere_or_to_frame_it(served: Served, place: str) -> None:
    async with served() as client, client.get(place, headers=origin(client)) as answer:
        policy = answer.headers["Content-Security-Policy"]
        assert "default-src 'self'" in policy
        assert "frame-ancestors 'none'" in policy


def test_the_page_names_no_other_place() -> None:
    named = re.findall(r"(?:src|href)=\"([^\"]*)|url\(\"([^\"]*)", PAGE.read_text(encoding="utf-8"))
    assert [place for pair in named for place in pair if place and not place.startswith(("/static/", "data:,"))] == []
