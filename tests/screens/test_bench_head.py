"""The head of a bench page, worked out without a screen: what stops, whether it is released, and what is worse now."""

from __future__ import annotations

import pytest
import yaml
from hobmark.bench.account import account_of
from hobmark.case import Case
from hobmark.reasoning.examination import Compiled, Examination
from hobmark.reports.setup import set_up
from hobmark.reports.setup_text import setup_text
from hobmark_tui.views.bench_head import Head, Reason, head_of, news

from .records import farm, jets

NOT = Head((), False, "NOT RELEASED", (Reason("laid_on", "missing: gas."),), "0 of 7 places gauged")


def _examined(shipped: Compiled, **bench: object) -> Examination:
    return Examination(shipped, Case.model_validate(yaml.safe_load(farm(**bench)) | {"hobmark": "1"}))


def _head(shipped: Compiled, **bench: object) -> Head:
    return head_of(shipped.base, account_of(_examined(shipped, **bench)))


def test_every_word_of_the_head_stands_on_the_card(shipped: Compiled) -> None:
    head = _head(shipped)
    card = " ".join(setup_text(set_up(_examined(shipped), "it"), 78).split())
    assert head.says in card
    assert [each.words for each in head.reasons if each.words not in card] == []


def test_what_is_missing_is_shown_with_the_places_that_were_not_gauged(shipped: Compiled) -> None:
    told = _head(shipped, jets=jets(oven=None, oven_pilot=None)).told_whole()
    assert "not gauged: oven" in told


def test_reasons_for_which_there_is_no_room_are_counted() -> None:
    reasons = tuple(Reason(str(n), "missing: something.") for n in range(4))
    assert Head((), False, "NOT RELEASED", reasons, "").told(room=0).endswith("- and 3 more on the set-up card (t)")


def test_what_stops_stands_in_the_banner_and_not_once_more_among_the_reasons(shipped: Compiled) -> None:
    head = _head(shipped, symptoms=[{"symptom": "smell_of_gas"}])
    assert head.banner.startswith("STOP stands: smell of gas.")
    assert "smell of gas" not in head.told()


def test_without_what_stops_there_is_no_banner() -> None:
    assert NOT.banner == ""


def test_a_release_that_is_withdrawn_is_said_with_its_reason() -> None:
    before = Head((), True, "RELEASED", (), "7 of 7 places gauged")
    now = Head((), False, "NOT RELEASED", (Reason("leak_check", "missing: it is due again."),), "")
    assert news(before, now) == "RELEASE WITHDRAWN. missing: it is due again."


def test_a_new_stop_is_said() -> None:
    assert news(NOT, Head((), False, "", (*NOT.reasons, Reason("leaks", "stopped: it leaks.")), "")) == (
        "stopped: it leaks."
    )


@pytest.mark.parametrize("now", [NOT, Head((), True, "RELEASED", (), "")])
def test_what_is_no_worse_than_before_is_not_said(now: Head) -> None:
    assert news(NOT, now) == ""
