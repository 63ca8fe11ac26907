"""Files gone wrong, by seed: bytes, lines, single values and whole trees of YAML, each changed in one of many ways."""

from __future__ import annotations

import copy
import random
from collections.abc import Callable
from typing import Any

import yaml

DEEP = 3000
ODD_TEXT = (
    "", "~", "null", "true", "no", "0", "-1", "1e309", "-1e309", "nan", "inf", "9" * 400, "0x1F", "1_000", "1.", "..",
    "../..", "1939/1941/1950", "1941/1939", "0000", "9999", "y-170000002", "Y99999999999", "[..]", "[1939..", "194X",
    "XXXX", "1950S2", "1938-13", "{1939,1941}", "1939~/..", "-1939", "1801", "2050/2060", "../1850", "1990/..", "31",
    "1", "1e-320", "1e9", "0.5", "1/0 in", "99999.9999 in", "0 mm", "-3 mm", "..19", "19..", "28..19", "nan..", "all",
    "absent", "x" * 70, "y" * 5000, "a/b/c", "../../etc", "\uff41\uff42\uff53\uff45\uff4e\uff54", "\u0663",
    "\u00e9" * 40, "e\u0301", "\u202eaeru", "\u2028", "\U0001f47b", "\U0001d7d9\U0001d7e1\U0001d7db\U0001d7e1",
    "\u0130", "\u00df", "\\", "'", '"', "%s", "{0}",
)  # fmt: skip
"""Texts that are no word, number, date or length, or one beyond all measure."""
ODD_YAML = (
    "!!python/object/apply:os.getcwd []", "!!binary aGVsbG8=", "&a [*a]", "*nothing", "[[[[", "{a: {b: {c: }}}",
    "? [a]", "<<: {a: 1}", '"\\ud800"', '"\\0"', '"\\x1b[31m"', "|+", ">-", "%YAML 9.9", "--- # more", "...",
    "- - - -", ": :", "@", "`", "!", "&", "#", "\t", "[" * DEEP, "{a: " * DEEP, "- " * DEEP, "[" * 38 + "]" * 38,
    "? " * 200, "a: &x {b: *x}",
)  # fmt: skip
"""Pieces of YAML that break off, call for code, go in circles, or go too deep."""


def bomb(draw: random.Random) -> str:
    """Aliases of aliases, which written out would fill any machine."""
    wide, deep = draw.randint(2, 12), draw.randint(3, 40)
    lines = ["b0: &b0 [x, y]"]
    lines += [f"b{n}: &b{n} [{', '.join([f'*b{n - 1}'] * wide)}]" for n in range(1, deep)]
    return "\n".join(lines) + "\n"


def _bytes_overwritten(data: bytes, draw: random.Random) -> bytes:
    changed = bytearray(data)
    for _ in range(draw.choice((1, 2, 5, 50))):
        changed[draw.randrange(len(changed))] = draw.randrange(256)
    return bytes(changed)


def _bytes_inserted(data: bytes, draw: random.Random) -> bytes:
    at = draw.randrange(len(data))
    return data[:at] + draw.randbytes(draw.choice((1, 3, 40))) + data[at:]


def _cut_out(data: bytes, draw: random.Random) -> bytes:
    start = draw.randrange(len(data))
    return data[:start] + data[start + draw.choice((1, 2, 10, 200)) :]


def _cut_short(data: bytes, draw: random.Random) -> bytes:
    return data[: draw.randrange(len(data))]


def _encoded_otherwise(data: bytes, draw: random.Random) -> bytes:
    text = data.decode()
    return draw.choice(
        (
            text.encode("utf-16"),
            text.encode("utf-32"),
            b"\xef\xbb\xbf" * draw.randint(1, 2) + data,
            text.replace("\n", draw.choice(("\r", "\r\n", "\x85", "\u2028"))).encode(),
            text.replace("a", "\u00e4").encode("latin-1", "replace"),
            b"",
            b"\0" * 50,
            draw.randbytes(500),
        )
    )


def _lines_moved(data: bytes, draw: random.Random) -> bytes:
    lines = data.decode().split("\n")
    one, other = draw.randrange(len(lines)), draw.randrange(len(lines))
    match draw.randrange(4):
        case 0:
            lines[one], lines[other] = lines[other], lines[one]
        case 1:
            lines.insert(one, lines[other])
        case 2:
            lines[one] = " " * draw.randint(1, 9) + lines[one]
        case _:
            lines[one] = lines[one].lstrip()
    return "\n".join(lines).encode()


def _yaml_put_in(data: bytes, draw: random.Random) -> bytes:
    text, odd = data.decode(), draw.choice(ODD_YAML)
    if draw.random() < 0.3:
        odd = bomb(draw)
        return (odd + text if draw.random() < 0.5 else text + "\n" + odd).encode()
    at = text.find(draw.choice((": ", "- ", "\n", "[", "{")), draw.randrange(len(text)))
    return (text[: at + 2] + odd + draw.choice(("", "\n")) + text[at + 2 :]).encode()


Place = tuple[Any, Any]
"""A list or mapping, and the index or name in it."""


def _places(tree: Any) -> list[Place]:
    found: list[Place] = []
    waiting = [tree]
    while waiting:
        inner = waiting.pop()
        steps = list(inner) if isinstance(inner, dict) else range(len(inner)) if isinstance(inner, list) else ()
        for step in steps:
            found.append((inner, step))
            waiting.append(inner[step])
    return found


def _odd_value(draw: random.Random, places: list[Place]) -> Any:
    nested: Any = "x"
    for _ in range(draw.randint(1, 60)):
        nested = [nested] if draw.random() < 0.5 else {"a": nested}
    holder, step = draw.choice(places)
    elsewhere = copy.deepcopy(holder[step])
    odd = [draw.choice(ODD_TEXT) for _ in range(3)]
    return draw.choice((*odd, elsewhere, elsewhere, [], {}, [[]], nested))


def _value_changed(tree: Any, draw: random.Random) -> None:
    places = _places(tree)
    for _ in range(draw.choice((1, 1, 1, 2, 6))):
        holder, step = draw.choice(places)
        holder[step] = _odd_value(draw, places)
        places = _places(tree)
        if not places:
            return


def _name_changed(tree: Any, draw: random.Random) -> None:
    named = [place for place in _places(tree) if isinstance(place[0], dict)]
    holder, step = draw.choice(named)
    _, other = draw.choice(named)
    value = holder.pop(step) if draw.random() < 0.7 else copy.deepcopy(holder[step])
    holder[draw.choice((other, draw.choice(ODD_TEXT)))] = value


def _entry_dropped(tree: Any, draw: random.Random) -> None:
    holder, step = draw.choice(_places(tree))
    del holder[step]


def _entry_doubled(tree: Any, draw: random.Random) -> None:
    listed = [place for place in _places(tree) if isinstance(place[0], list)]
    if listed:
        holder, step = draw.choice(listed)
        holder.extend(copy.deepcopy([holder[step]] * draw.choice((1, 2, 300))))


def _circle_made(tree: Any, draw: random.Random) -> None:
    """Let something speak of itself, or of its neighbour that speaks of it."""
    holder, step = draw.choice([place for place in _places(tree) if isinstance(place[0], dict)])
    names = list(holder)
    if isinstance(holder[step], dict):
        holder[step]["needs"] = {draw.choice(names): [draw.choice(ODD_TEXT), "present"]}
    else:
        holder["against"] = [str(holder.get("id", step))]


TREE: tuple[Callable[[Any, random.Random], None], ...] = (
    _value_changed, _value_changed, _value_changed, _name_changed, _entry_dropped, _entry_doubled, _circle_made,
)  # fmt: skip
TEXT: tuple[Callable[[bytes, random.Random], bytes], ...] = (
    _bytes_overwritten, _bytes_inserted, _cut_out, _cut_short, _encoded_otherwise, _lines_moved, _yaml_put_in,
)  # fmt: skip


def mutated(data: bytes, seed: int) -> bytes:
    """A file gone wrong, the same for the same seed. Two of three stay whole YAML and say something else."""
    draw = random.Random(seed)
    if draw.random() < 1 / 3:
        return draw.choice(TEXT)(data, draw)
    tree = yaml.load(data, Loader=yaml.BaseLoader)
    draw.choice(TREE)(tree, draw)
    return yaml.safe_dump(tree, sort_keys=False, allow_unicode=True, width=1000).encode("utf-8", "replace")
