"""Problems: the one way anything is refused, and the words in which it is said."""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

ECHO_LIMIT = 60
"""Longest stretch of someone's text, in characters, that a message repeats."""

LISTED = 12
"""Most words a remedy lists when none of them is close to what was written."""


def visible(character: str) -> str:
    """A character as it may be shown: one that is not seen, or that turns the line, as its escape."""
    return character if character.isprintable() else character.encode("unicode_escape").decode("ascii")


def plain(text: str) -> str:
    """Text as a person may be shown it: lines stay, other blanks become spaces, and what is not seen is escaped."""
    return text if text.replace("\n", "").isprintable() else "".join(map(_plain, text))


def _plain(character: str) -> str:
    if character == "\n":
        return character
    return " " if character in "\r\t" or unicodedata.category(character) == "Zs" else visible(character)


def spelt(text: str) -> str:
    """Text that any file and any terminal can hold: bytes of a file's name that are no UTF-8 as escapes, `\\udce9`."""
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def shown(text: str) -> str:
    """Text as a terminal may repeat it: at most 60 characters, none invisible, none that turns the line."""
    pieces = [visible(character) for character in text[: ECHO_LIMIT + 1]]
    if sum(map(len, pieces)) <= ECHO_LIMIT:
        return "".join(pieces)
    while sum(map(len, pieces)) > ECHO_LIMIT - 1:
        pieces.pop()
    return "".join(pieces) + "…"


def _folded(word: str) -> str:
    return re.sub(r"[\s-]+", "_", word.strip().casefold())


def _closest(word: str, known: Iterable[str], like: float = 0.6) -> str | None:
    if len(word) > ECHO_LIMIT:  # difflib is quadratic, and nobody mistypes a paragraph
        return None
    by_fold = {_folded(candidate): candidate for candidate in sorted(set(known), reverse=True)}
    close = difflib.get_close_matches(_folded(word), by_fold, n=1, cutoff=like)
    return by_fold[close[0]] if close else None


def did_you_mean(word: str, known: Iterable[str], like: float = 0.6) -> str:
    """`" Did you mean 'urea'?"` for the closest known word, or `""` when none is close: `like` is difflib's ratio."""
    close = _closest(word, known, like)
    return f" Did you mean '{shown(close)}'?" if close else ""


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing that is wrong, where (counted from 1), and what to do. Problems sort in file order."""

    path: str
    line: int
    column: int
    message: str
    remedy: str

    def __str__(self) -> str:
        """`path:line:column: What is wrong. What to do.` on one line, whatever the text holds."""
        said = f"{self.path}:{self.line}:{self.column}: {self.message} {self.remedy}".rstrip()
        return said if said.isprintable() else "".join(map(visible, said))


class Refused(Exception):
    """What was given cannot be used; `problems` says why, in the order found."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        """Keep the problems as a tuple."""
        self.problems: tuple[Problem, ...] = tuple(problems)
        super().__init__(self.problems)

    def __str__(self) -> str:
        """One line a problem."""
        return "\n".join(map(str, self.problems))


WORDS = ("enum", "literal_error")
"""Kinds of error that mean "no such word in this vocabulary"."""

# A curator reads one word for one thing, however many kinds of error pydantic has for it.
_TEXT, _LIST, _FIELDS = "text", "a list", "a set of fields"
EXPECTED: Mapping[str, str] = {
    **dict.fromkeys(("string_type", "string_sub_type", "date_type", "datetime_type"), _TEXT),
    **dict.fromkeys(("list_type", "tuple_type", "set_type", "frozen_set_type", "iterable_type"), _LIST),
    **dict.fromkeys(("dict_type", "mapping_type", "model_type", "dataclass_type"), _FIELDS),
    **dict.fromkeys(WORDS, "one word"),
    **dict.fromkeys(("float_type", "decimal_type"), "a number"),
    "int_type": "a whole number",
    "bool_type": "true or false",
}
"""Kinds of error that mean "this has the wrong shape", each with the shape that was expected."""

_WRITE = {_TEXT: "plain text", _LIST: "a list: [one, two]", _FIELDS: "fields: {name: value}"}
_BY_GIVEN = {
    (_LIST, _FIELDS): "Begin each entry with '- '.",
    (_TEXT, _FIELDS): "Write plain text, and put text that holds a colon in quotes.",
}
"""Remedies for a shape that is got by leaving one sign out: (what was expected, what stands there)."""
_NUMBERS = {
    **dict.fromkeys(("int_parsing", "int_from_float"), "a whole number"),
    **dict.fromkeys(("float_parsing", "decimal_parsing", "finite_number"), "a number"),
    "int_parsing_size": "a number of usable size",
}
_BOUNDS = {
    "greater_than": ("gt", "too small", "more than {}"),
    "greater_than_equal": ("ge", "too small", "{} or more"),
    "less_than": ("lt", "too large", "less than {}"),
    "less_than_equal": ("le", "too large", "{} or less"),
}
_LENGTHS = {
    "too_short": ("min_length", "has too few entries.", "Give at least {}."),
    "too_long": ("max_length", "has too many entries.", "Give at most {}."),
    "string_too_short": ("min_length", "is too short.", "Write at least {} characters."),
    "string_too_long": ("max_length", "is too long.", "Write at most {} characters."),
}
_SENTENCES = re.compile(r"(.*?[.?!])\s+(\S.*[.?!])", re.DOTALL)
_SEE_HEAD = "The comment at the head of the file says how to write it."


def _either(words: Iterable[str]) -> str:
    *most, last = dict.fromkeys(words)
    return f"{', '.join(most)} or {last}" if most else last


def _noun(given: object) -> str:
    if isinstance(given, Mapping):
        return _FIELDS
    if isinstance(given, (list, tuple)):
        return _LIST
    return "empty" if given in ("", None) else _TEXT


def listed(words: Iterable[str], most: int = LISTED) -> str:
    """Words as a remedy names them: each at most so long as is repeated, and not too many."""
    choice = list(dict.fromkeys(words))
    return ", ".join(map(shown, choice[:most])) + (", …" if len(choice) > most else "")


def one_of(word: str, known: Iterable[str], otherwise: str = "Write one of") -> str:
    """A remedy for an unknown word: the closest known one, or the choice there is."""
    choice = tuple(known)
    remedy = f"{otherwise}: {listed(choice)}." if choice else _SEE_HEAD
    return did_you_mean(word, choice).strip() or remedy


def spoken(error: str) -> tuple[str, str]:
    """A validator's own message as (message, remedy): as it stands if it has both, else with a remedy."""
    said = error.strip()
    if both := _SENTENCES.fullmatch(said):
        return both[1], both[2]
    if not said:
        return "this cannot be used here.", _SEE_HEAD
    return (said if said.endswith((".", "?", "!")) else said + "."), _SEE_HEAD


def worded(
    kind: str, name: str, given: object, details: Mapping[str, object], known: tuple[str, ...]
) -> tuple[str, str]:
    """(message, remedy) in a curator's words for one pydantic error.

    `kind` and `details` are pydantic's `type` and `ctx`; `name` is the field, `given` what stands there, and
    `known` what may: the record's fields, the vocabulary, the missing fields, or the expected kinds.
    """
    called, echo = shown(name), f"'{shown(given)}'" if isinstance(given, str) else _noun(given)
    if kind == "missing":
        lacking = _either(f"'{shown(field)}'" for field in known)
        return f"{lacking} is missing.", "Add it." if len(known) == 1 else "Add one of them."
    if kind == "extra_forbidden":
        return f"unknown field '{called}'.", one_of(name, known, "The fields here are")
    if kind in WORDS and isinstance(given, str) and given:
        return f"unknown word {echo} for {called}.", one_of(given, known)
    if kind in WORDS:
        return f"{called} is {_noun(given)} where one word should stand.", one_of("", known)
    if kind in EXPECTED or kind == "shape":
        expected = [EXPECTED[each] for each in (known if kind == "shape" else (kind,))]
        wanted = f"Write {_either(_WRITE.get(each, each) for each in expected)}."
        wanted = _BY_GIVEN.get((_either(expected), _noun(given)), wanted)
        return f"{called} is {_noun(given)} where {_either(expected)} should stand.", wanted
    if kind in _NUMBERS:
        return f"{echo} for {called} is not {_NUMBERS[kind]}.", "Write it in digits alone, such as 12."
    if kind == "bool_parsing":
        return f"{echo} for {called} is neither true nor false.", "Write true or false."
    if kind in _BOUNDS:
        bound, amiss, wanted = _BOUNDS[kind]
        limit = details.get(bound)
        wanted = wanted.format(f"{limit:g}" if isinstance(limit, float) else limit)
        return f"'{shown(str(given))}' for {called} is {amiss}.", f"Write {wanted}."
    if kind in _LENGTHS:
        bound, amiss, wanted = _LENGTHS[kind]
        return f"{called} {amiss}", wanted.format(details.get(bound))
    if kind == "string_pattern_mismatch":
        return f"{echo} for {called} is not in the form it must have.", _SEE_HEAD
    return f"{echo} for {called} cannot be used here.", _SEE_HEAD


@dataclass(frozen=True, slots=True)
class Fault:
    """A pydantic error. `tags`: the positions in `loc` that label a union's branch and name no place."""

    kind: str
    loc: tuple[str | int, ...]
    tags: frozenset[int]
    given: object
    details: Mapping[str, Any]
    known: tuple[str, ...]

    @property
    def name(self) -> str:
        """What a curator calls the place: the last field name on the way, else which entry it is."""
        steps = [step for at, step in enumerate(self.loc) if at not in self.tags]
        if steps[-1:] == ["[key]"]:
            del steps[-2:]
        names = [step for step in steps if isinstance(step, str)]
        return names[-1] if names else f"entry {int(steps[-1]) + 1}" if steps else "the whole"

    @property
    def is_word(self) -> bool:
        """Whether a word stands here that is none of those it may be."""
        return self.kind in WORDS and isinstance(self.given, str)

    def misfits(self, depth: int) -> bool:
        """Whether the value `depth` steps down `loc` has the wrong shape altogether."""
        shape = self.kind == "shape" or (self.kind in EXPECTED and not self.is_word)
        return shape and self.tags.issuperset(range(depth, len(self.loc)))


def _pooled(faults: Sequence[Fault]) -> Fault:
    known = tuple(dict.fromkeys(word for fault in faults for word in fault.known))
    return replace(faults[0], known=known)


def _likeliest(branches: Sequence[Sequence[Fault]], depth: int) -> list[Fault]:
    """All branches of a union failed on a value: the faults of the one that was meant, else one for all."""
    every = [fault for branch in branches for fault in branch]
    fitting = [branch for branch in branches if not any(fault.misfits(depth) for fault in branch)]
    if not fitting:
        if all(fault.kind in WORDS for fault in every):
            return [_pooled(every)]
        shapes = [f if f.kind == "shape" else replace(f, kind="shape", known=(f.kind,)) for f in every]
        return [_pooled(shapes)]
    fewest = min(map(len, fitting))
    nearest = [branch for branch in fitting if len(branch) == fewest]
    tied = [fault for branch in nearest for fault in branch]
    extras = [fault for fault in tied if fault.kind == "extra_forbidden"]
    if len(nearest) == 1:  # a mistyped name is one mistake, not a missing field beside an unknown one
        meant = {_closest(extra.name, extra.known) for extra in extras}
        return [fault for fault in tied if fault.kind != "missing" or fault.name not in meant]
    words = [fault for fault in tied if fault.is_word]
    missing = [fault for fault in tied if fault.kind == "missing"]
    return [_pooled(words or extras or missing or tied[:1])]


def without_echoes(faults: Sequence[Fault]) -> list[Fault]:
    """The faults without those that only repeat another: a mistyped name is one mistake, not a missing field beside an
    unknown one, and a list with a bad entry is not too short for that.
    """
    meant = {(*f.loc[:-1], _closest(f.name, f.known)) for f in faults if f.kind == "extra_forbidden"}
    told = [f for f in faults if f.kind != "missing" or f.loc not in meant]
    return [f for f in told if f.kind != "too_short" or len(f.given or ()) < f.details["min_length"]]  # type: ignore[arg-type]


def collapsed(faults: Iterable[Fault], depth: int = 0) -> list[Fault]:
    """The faults with each union's branches reduced to the likeliest one."""
    kept: list[Fault] = []
    unions: dict[tuple[str | int, ...], dict[str | int, list[Fault]]] = {}
    for fault in faults:
        if (at := min((tag for tag in fault.tags if tag >= depth), default=None)) is None:
            kept.append(fault)
        else:
            unions.setdefault(fault.loc[:at], {}).setdefault(fault.loc[at], []).append(fault)
    for before, branches in unions.items():
        reduced = [collapsed(branch, len(before) + 1) for branch in branches.values()]
        kept += reduced[0] if len(reduced) == 1 else _likeliest(reduced, len(before))
    return kept
