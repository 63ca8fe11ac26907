"""The closed vocabularies of the knowledge base and of a case, each defined once."""

from __future__ import annotations

from enum import StrEnum


class Access(StrEnum):
    """What a look asks of a person, easiest first."""

    PHOTO = "photo"
    GLANCE = "glance"
    HAND = "hand"
    TOOL = "tool"
    PANEL_OFF = "panel_off"


class HowOften(StrEnum):
    """How often a statement says a value left the works."""

    ALWAYS = "always"
    USUALLY = "usually"
    OFTEN = "often"
    SOMETIMES = "sometimes"
    RARELY = "rarely"
    NEVER = "never"


class SwapWord(StrEnum):
    """How often an assembly or a single part is no longer the one it left the works with."""

    HARDLY = "hardly"
    RARELY = "rarely"
    SOMETIMES = "sometimes"
    OFTEN = "often"
    MOSTLY = "mostly"


class SlipWord(StrEnum):
    """How often a careful person misreads a feature."""

    HARDLY = "hardly"
    RARELY = "rarely"
    SOMETIMES = "sometimes"
    OFTEN = "often"


class Certainty(StrEnum):
    """What a statement rests on: a document or dated specimen seen, inference, memory, or a point in dispute."""

    ATTESTED = "attested"
    INFERRED = "inferred"
    RECOLLECTED = "recollected"
    DISPUTED = "disputed"


class Status(StrEnum):
    """How far a statement has been looked over; a retired one no longer acts."""

    DRAFT = "draft"
    REVIEWED = "reviewed"
    RETIRED = "retired"


class Sure(StrEnum):
    """How sure the observer is of one reading."""

    CERTAIN = "certain"
    LIKELY = "likely"
    GUESS = "guess"


class Situation(StrEnum):
    """Where the range is looked at, which decides what can be looked at and what a look costs."""

    LISTING = "listing"
    SALE = "sale"
    BENCH = "bench"


class Goal(StrEnum):
    """What the user wants to know; each parts the cells differently."""

    VARIANT = "variant"
    YEAR = "year"
    MAKER = "maker"
    CLAIM = "claim"


class Originality(StrEnum):
    """What an assembly is to the range it stands on, in the trade's words.

    A correct part is of the right type but not this range's own; a married one comes of joining two ranges.
    """

    AS_LEFT_THE_WORKS = "as_left_the_works"
    DOUBTFUL = "doubtful"
    LATER_CORRECT = "later_correct"
    EARLIER_CORRECT = "earlier_correct"
    REPLACED = "replaced"
    MARRIED = "married"


class PartClass(StrEnum):
    """What it takes to say that a part fits, strictest first.

    A critical part needs its number or its measures, and a test once it is fitted; a measured one its number or its
    measures; one of the class trial a paper for the range, and a trial fit.
    """

    CRITICAL = "critical"
    MEASURED = "measured"
    TRIAL = "trial"


class Hand(StrEnum):
    """Which side a part is for, as one stands facing the range."""

    LEFT = "left"
    RIGHT = "right"
    EITHER = "either"


class FitsAs(StrEnum):
    """How a paper, or a rule, says that a part goes with a range."""

    EXACT = "exact"
    INTERCHANGES = "interchanges"
    MODIFIED = "modified"
    NOT = "not"
    PROHIBITED = "prohibited"


class MeasuredOn(StrEnum):
    """Where a measure is taken: at its place on the range, or on the part in hand."""

    RANGE = "range"
    PART = "part"


class FitVerdict(StrEnum):
    """Whether a part fits, in the trade's words; the first four confirm it, the others do not."""

    EXACT = "exact"
    SUPERSEDED = "superseded"
    INTERCHANGES = "interchanges"
    MODIFIED = "fits_with_modification"
    UNPROVEN = "unproven"
    DOES_NOT_FIT = "does_not_fit"
    PROHIBITED = "prohibited"


class Gas(StrEnum):
    """The gas a range is set for."""

    NATURAL = "natural"
    BOTTLED = "bottled"
    MANUFACTURED = "manufactured"
