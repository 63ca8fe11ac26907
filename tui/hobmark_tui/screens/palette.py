"""The command palette: every action of the page that has a name, read from its keys."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterator
from contextlib import suppress
from functools import partial

from textual import work
from textual.binding import Binding
from textual.command import CommandPalette, DiscoveryHit, Hit, Hits, Provider
from textual.css.query import NoMatches


class Palette(CommandPalette):
    """The framework's palette; one that is left while it looks for commands ends by itself, and not the program."""

    @work(exclusive=True, group=CommandPalette._GATHER_COMMANDS_GROUP, description="gather commands")
    async def _gather_commands(self, search_value: str) -> None:
        with suppress(NoMatches):
            await CommandPalette._gather_commands.__wrapped__(self, search_value)  # type: ignore[attr-defined]


NUMBERS = ("answer.value", "bench.pick")
"""Keys that mean what stands on the page beside them: they say nothing by themselves."""


class PageActions(Provider):
    """What the page and the program can do."""

    def _named(self) -> Iterator[tuple[Binding, Callable[[], Awaitable[bool]]]]:
        seen: set[str] = set()
        for node in (self.screen, self.app):
            for _, binding in node._bindings:
                if binding.id is None or not binding.tooltip or binding.id in seen or binding.id in NUMBERS:
                    continue
                seen.add(binding.id)
                yield binding, partial(self.app.run_action, binding.action, node)

    async def discover(self) -> Hits:
        """Everything, before a word is typed."""
        for binding, act in self._named():
            yield DiscoveryHit(f"{binding.description} ({binding.key})", act, help=binding.tooltip)

    async def search(self, query: str) -> Hits:
        """What goes by the words typed."""
        matcher = self.matcher(query)
        for binding, act in self._named():
            name = f"{binding.description}: {binding.tooltip}"
            score = matcher.match(name)
            if score > 0:
                yield Hit(score, matcher.highlight(name), act, help=f"key {binding.key}")
