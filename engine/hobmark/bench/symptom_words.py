"""A symptom by everyday words: its id, its label, or any of the words people have for it, with other words around."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from unicodedata import category, normalize

from hobmark.knowledge.schema.faults import FaultTable
from hobmark.problems import did_you_mean, shown

MOST_WORDS = 2_000
"""Words of what was said that are looked at; a person says less."""
NOT = re.compile(
    r"\b(?:(?:wo|do|does|ca|could|is|are|would|did)n['\u2019]?t|cannot|(?:will|do|does|can|did) not|never)\b"
)
"""Ways to say that something does not."""
LITTLE = frozenset(
    re.findall(
        r"\w+",
        "a an the my our your his her its this that these those there here i we you he she it they me us is are was "
        "were be been am of like at to for when while and or some very really quite so just still always please help "
        "has have had got get keep keeps do does will can by from in with strong bad slight strange",
    )
)
"""Words that tell nothing of a symptom."""

_ILLINOIS = re.compile(r"\bI(?:ll|LL)\.|(?<=,) I(?:ll|LL)\b")
_ANY = frozenset(
    tuple(stems.split())
    for stems in (
        *("alarm", "detector", "sick", "ill", "confus", "unwell", "sleepy", "drowsy", "fum", "skunk", "faint"),
        *("stay on", "stuck open", "faint smell", "co read"),
    )
)
"""Words, by their stems, that tell of a symptom where one is asked for, and of nothing in a note."""
_DENIED = re.compile(
    r"\b(?:no|without(?: an?| any)?)\s+(?:smell of gas|gas smells?|gas leaks?|leaks?|soot|yellow tips|yellow flames?|"
    r"boom|bang|pops?|hiss(?:ing)?|headaches?|mercury(?: drops)?)\b(?! (?:yet|until|till|when|while|if|but))"
)
IF_IN_DOUBT = (
    "If it smells of gas or anybody feels ill: no flame, no switch, everybody out, and call the fire brigade outside."
)
"""What is said to words that nobody knows."""
COUNTED = frozenset({"burners"})
"""Words whose number matters: one burner and several are other symptoms."""

Spoken = tuple[str, ...]
"""Words that count, without their endings."""


def symptom_id_of(table: FaultTable, words: str) -> str:
    """The id of the symptom that somebody's words tell of.

    What is a symptom's own name goes before what only holds it; a symptom that stops everything goes before any other,
    even where the words deny it. Raises ValueError where no symptom, or more than one, is told of.
    """
    said = spoken(words)
    names = {
        name: [spoken(each) for each in (name, entry.label, *entry.says)] for name, entry in table.symptoms.items()
    }
    whole = [name for name in names if said and said in names[name]]
    if whole:
        return _first_that_stops(table, whole) or whole[0]
    told = {name: longest for name, each in names.items() if (longest := _longest_in(said, each))}
    stops = _first_that_stops(table, list(told))
    if stops is not None:
        return stops
    others = {name: each for name, each in told.items() if not any(_more_than(more, each) for more in told.values())}
    if len(others) == 1:
        return next(iter(others))
    if others:
        raise ValueError(f"'{shown(words)}' may be any of these: {', '.join(others)}. Name one.")
    near = did_you_mean(words, table.symptoms)
    known = ", ".join(table.symptoms)
    raise ValueError(f"unknown symptom '{shown(words)}'.{near} {IF_IN_DOUBT} Those there are: {known}.")


def symptoms_in(table: FaultTable, text: str) -> tuple[str, ...]:
    """The ids of all symptoms of which somebody wrote, whatever the line was for.

    What is denied word for word ("no smell of gas") is not told, and single words that a note may hold for any reason
    ("detector") tell nothing: where a symptom itself is asked for they do. `Springfield, Ill.` is a place.
    """
    said = spoken(_DENIED.sub(" ", _ILLINOIS.sub(" ", text)))
    words = frozenset(said)
    told = {}
    for name, entry in table.symptoms.items():
        names = (spoken(each) for each in (entry.label, *entry.says))
        if longest := _longest_in(said, [each for each in names if words.issuperset(each) and each not in _ANY]):
            told[name] = longest
    return tuple(n for n, each in told.items() if not any(_more_than(more, each) for more in told.values()))


@lru_cache(8192)
def spoken(words: str) -> Spoken:
    """What is said, as the words that count: `The burner won't light` is (burner, not, light).

    Wide letters, ligatures and signs that are not seen, as telephones and copied text have them, change nothing.
    """
    seen = "".join(each for each in normalize("NFKC", words) if category(each) != "Cf")
    plain = NOT.sub(" not ", seen.casefold().replace("_", " "))
    return tuple(_stem(word) for word in re.findall(r"[^\W\d_]+", plain)[:MOST_WORDS] if word not in LITTLE)


def _stem(word: str) -> str:
    """A word without the endings of what does, did or is doing; the same for all that is compared."""
    if word in COUNTED:
        return word
    for ending, least in (("ing", 5), ("ed", 5), ("es", 4), ("s", 4)):
        if word.endswith(ending) and len(word) >= least and not word.endswith("ss"):
            stem = word.removesuffix(ending)
            return (
                stem if ending != "es" or stem.endswith(("ss", "sh", "ch", "x", "z", "o")) else word.removesuffix("s")
            )
    return word


def _first_that_stops(table: FaultTable, names: Sequence[str]) -> str | None:
    return next((name for name in names if table.symptoms[name].stop), None)


def _longest_in(said: Spoken, names: Sequence[Spoken]) -> Spoken:
    """The longest of some names that stands in what was said; nothing where none does."""
    return max((name for name in names if name and _stands_in(said, name)), key=len, default=())


def _stands_in(said: Spoken, name: Spoken) -> bool:
    """Whether a name stands in what was said, word after word; what does *not* may be told of anywhere before."""
    what = name.index("not") if "not" in name else 0
    deed = name[what:]
    starts = (start for start in range(len(said) - len(deed) + 1) if said[start : start + len(deed)] == deed)
    return any(_in_order(name[:what], said[:start]) for start in starts)


def _in_order(some: Spoken, words: Spoken) -> bool:
    """Whether some words come one after another among others."""
    left = iter(words)
    return all(word in left for word in some)


def _more_than(more: Spoken, less: Spoken) -> bool:
    """Whether one name holds another and more."""
    return len(more) > len(less) and _stands_in(more, less)
