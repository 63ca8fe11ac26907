"""reference/us_patents.yaml and the other published dating tables: what numbers and words prove of years."""

from __future__ import annotations

from enum import StrEnum
from functools import cached_property
from typing import Annotated, Literal

from pydantic import Field, ValidationInfo, model_validator

from hobmark.dates import read_span
from hobmark.knowledge.schema.entry import TRUSTED, EdtfText, Entry, Id, Text
from hobmark.knowledge.schema.observations import Yes

PublishedStatus = Literal["verified", "single"]
"""verified: two sources, or an authority; single: one secondary source. Nothing less is written down."""
Number = Annotated[int, Field(ge=1, le=99_999_999)]
"""A number of a series."""
Year = Annotated[int, Field(ge=1836, le=2099)]
"""A year of issue; US patents are numbered from 1836 on."""


class Form(StrEnum):
    """What is found by its form, not by words: the program knows the form, the row what it proves."""

    US_PATENT = "us_patent"
    US_PATENT_DATE = "us_patent_date"
    US_REISSUE = "us_reissue"
    US_DESIGN = "us_design"
    FOREIGN_PATENT = "foreign_patent"
    US_PATENT_PENDING = "us_patent_pending"
    US_TRADEMARK = "us_trademark"
    CIRCLED_R = "circled_r"
    COPYRIGHT_YEAR = "copyright_year"
    COPYRIGHT_SIGN = "copyright_sign"
    US_POSTAL_ZONE = "us_postal_zone"
    US_ZIP = "us_zip"
    US_ZIP_4 = "us_zip_4"
    US_STATE_TWO_LETTER = "us_state_two_letter"
    US_STATE_NB = "us_state_nb"
    US_STATE_NE = "us_state_ne"
    US_STATE_TRADITIONAL = "us_state_traditional"
    UK_POSTCODE_TRIAL = "uk_postcode_trial"
    UK_POSTCODE = "uk_postcode"
    QUEBEC_QC = "quebec_qc"
    US_TELEPHONE_NAME = "us_telephone_name"
    US_AREA_CODE = "us_area_code"


class PatentYear(Entry):
    """us_patents.yaml: the first number of a year, or the numbers between which it lies."""

    id: Id
    year: Year
    first: Number | None = None
    within: tuple[Number, Number] | None = None
    source: Text
    status: PublishedStatus

    @model_validator(mode="after")
    def _says_one_thing(self) -> PatentYear:
        if (self.first is None) == (self.within is None):
            raise ValueError("a year has either 'first' or 'within'. Write one of them.")
        if self.within is not None and self.within[0] >= self.within[1]:
            raise ValueError("'within' is the least number, then the greatest. Change places.")
        return self

    @property
    def least(self) -> int:
        """The least number with which the year can have begun."""
        return self.first if self.first is not None else self.within[0] if self.within is not None else 0

    @property
    def greatest(self) -> int:
        """The greatest number with which the year can have begun."""
        return self.first if self.first is not None else self.within[1] if self.within is not None else 0


class DatingRow(Entry):
    """The other tables: one form, or some words, and what they prove; or a time of which something is to be told."""

    id: Id
    form: Form | None = None
    words: tuple[Text, ...] = ()
    covers: EdtfText | None = None
    first_number: Number | None = None
    last_number: Number | None = None
    not_before: EdtfText | None = None
    not_after: EdtfText | None = None
    usually_until: EdtfText | None = None
    proves: Text
    does_not_prove: Text
    weighed: Yes = True
    source: Text
    status: PublishedStatus

    @model_validator(mode="after")
    def _is_found_one_way(self, info: ValidationInfo) -> DatingRow:
        if (self.form is not None) + bool(self.words) + (self.covers is not None) != 1:
            raise ValueError("a row has one of 'form', 'words' or 'covers'. Keep one.")
        if any(not any(sign.isalnum() for sign in words) for words in self.words):
            raise ValueError("'words' holds an entry without a letter or digit. Write the words as they stand.")
        if self.covers is not None and (self.not_before or self.not_after):
            raise ValueError("what 'covers' a time is told and bounds nothing. Remove its dates.")
        if not (info.context and info.context.get(TRUSTED)):
            self._dates_in_order()
        return self

    def _dates_in_order(self) -> None:
        for later in (self.not_after, self.usually_until):
            if self.not_before and later and read_span(self.not_before).earliest >= read_span(later).latest:
                raise ValueError(f"'{later}' comes before '{self.not_before}'. Write the earlier date as 'not_before'.")

    def holds(self, number: int) -> bool:
        """Whether a number of its series lies in the row."""
        least = 0 if self.first_number is None else self.first_number
        return least <= number and (self.last_number is None or number <= self.last_number)


class DatingTables(Entry):
    """The tables of a base; empty where it has none, and then nothing is found."""

    patent_years: tuple[PatentYear, ...] = ()
    rows: tuple[DatingRow, ...] = ()

    @cached_property
    def by_form(self) -> dict[Form, tuple[DatingRow, ...]]:
        """The rows that speak of a form; a form without a row is not looked for."""
        forms: dict[Form, tuple[DatingRow, ...]] = {}
        for row in self.rows:
            if row.form is not None:
                forms[row.form] = (*forms.get(row.form, ()), row)
        return forms

    def row(self, form: Form) -> DatingRow | None:
        """The first row of a form."""
        return self.by_form[form][0] if form in self.by_form else None
