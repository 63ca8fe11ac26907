"""What a serial number says of the year; expected numbers are worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hobmark.dating.serials import density, no_format, read_serials
from hobmark.problems import Refused

from .teal_works import RARELY, WORDING, YEARS, Block, anchors, base, core, read, shares, works

# 36,400 numbers from March 1938 (1938.1667 to 1938.25) to some day of 1941 (1941 to 1942).
H: Block = {"pattern": "H #####", "anchors": anchors((12400, "1938-03"), (48800, "1941")), "error": "6 months"}
SHARP: Block = {**H, "error": 0}
K: Block = {"pattern": ["K ###", "K ####"], "made": "1930/1935", "first": "K 100", "last": "K 5000"}
TWICE: tuple[Block, Block] = (
    {"pattern": "2011-####", "made": "1932/1939", "last": "4200"},
    {"pattern": "2011-####", "made": "1947/1956", "last": "4800"},
)
YEAR: Block = {"pattern": "YY/####", "made": "1946/1954", "error": 0}


def test_halfway_between_two_anchors_is_halfway_between_their_dates() -> None:
    # 30600 is 18,200 of 36,400 on: from (1938.1667 + 1941) / 2 = 1939.5833 to (1938.25 + 1942) / 2 = 1940.125.
    # Of these 0.5417 years 0.4167 lie in 1939.
    assert core("H 30600", SHARP) == pytest.approx({1939: 0.769231, 1940: 0.230769}, abs=1e-5)


def test_the_error_blurs_both_ways() -> None:
    # Passed at 1940.0: ((0.4167 + 0.5)^2 - (0.5 - 0.125)^2) / 2 / 0.5417 = 0.6458; nothing yet at 1939.0, all at 1941.
    assert core("H 30600", H) == pytest.approx({1939: 0.645833, 1940: 0.354167}, abs=1e-5)


def test_outliers_are_spread_evenly_over_the_makers_life() -> None:
    assert shares("H 30600", SHARP)[0] == pytest.approx(RARELY / 38)


def test_an_outlier_is_as_likely_as_its_word_says() -> None:
    assert shares("H 30600", {**SHARP, "outlier": "often"})[0] == pytest.approx(0.1 / 38)


def test_an_anchor_at_its_own_number_has_its_own_date() -> None:
    assert core("H 48800", SHARP) == {1941: 1.0}


def test_beyond_the_last_anchor_the_pace_may_have_halved_or_doubled() -> None:
    # A number takes (1941.5 - 1938.2083) / 36,400 years, so 3,640 more take 0.329167: from 1941 + 0.164583 to
    # 1942 + 0.658333, which is 1.49375 years, 0.835417 of them in 1941.
    assert core("H 52440", SHARP) == pytest.approx({1941: 0.559275, 1942: 0.440725}, abs=1e-5)


def test_before_the_first_anchor_the_same_holds_backward() -> None:
    # From 1938.1667 - 0.658333 to 1938.25 - 0.164583: 0.577083 years, 0.491667 of them in 1937.
    assert core("H 08760", SHARP) == pytest.approx({1937: 0.851986, 1938: 0.148014}, abs=1e-5)


def test_what_lies_beyond_the_anchors_is_said() -> None:
    assert (
        "It lies beyond the dated numbers: the line is drawn on, at half to twice the pace." in read("H 52440", H).said
    )


def test_no_year_outside_the_block_is_left_open() -> None:
    assert set(core("H 99999", {**H, "made": "1938/1942-09"})) <= set(range(1938, 1943))


def test_after_a_lone_anchor_all_the_rest_of_the_block_is_open() -> None:
    lone: Block = {"pattern": "H #####", "anchors": anchors((500, "1930")), "made": "1928/1933", "error": 0}
    assert core("H 00501", lone) == pytest.approx(dict.fromkeys(range(1930, 1934), 0.25))


def test_a_block_without_anchors_is_known_by_its_years() -> None:
    assert core("K 412", {**K, "error": 0}) == pytest.approx(dict.fromkeys(range(1930, 1936), 1 / 6), abs=1e-5)


def test_an_anchor_that_was_sold_by_a_date_bounds_the_numbers_below_it() -> None:
    sold: Block = {
        "pattern": "####",
        "anchors": anchors((1000, "1930"), (2000, "../1931-06"), (3000, "1936")),
        "error": 0,
    }
    assert set(core("2000", sold)) == {1930, 1931}


def test_the_order_in_which_anchors_are_written_does_not_matter() -> None:
    turned = {**H, "anchors": anchors((48800, "1941"), (12400, "1938-03"))}
    assert shares("H 30600", turned).tolist() == shares("H 30600", H).tolist()


@pytest.mark.parametrize(
    "text",
    [
        *("h 30600", "H30600", "H-30600", "H/30600", "H . 30600", "  H   30600 ", "H\u00a030600", "H 30,600"),
        *("Serial No. H 30600", "no: H30600", "# H 30600", "SER. H-30600"),
    ],
)
def test_a_number_may_be_spelt_as_it_comes(text: str) -> None:
    assert shares(text, H).tolist() == shares("H 30600", H).tolist()


@pytest.mark.parametrize(
    "text", ["", " ", "H", "H 3060", "H 306000", "K 30600", "H 30600 B", "30600", "H 306OO", "1" * 400]
)
def test_a_text_of_another_form_gives_no_density(text: str) -> None:
    assert density(works(H), text, YEARS, WORDING) is None


def test_groups_of_digits_that_stand_apart_must_stand_apart() -> None:
    assert density(works(YEAR), "463308", YEARS, WORDING) is None


def test_a_text_of_another_form_gives_no_reading() -> None:
    assert read_serials("XX 9", base(works(H))) == ()


def test_a_text_of_another_form_is_told_which_forms_there_are() -> None:
    said = no_format("XX 9", base(works(H, K), works(name="coot")))
    assert said == (
        "'XX 9' fits no serial number that is described. Teal: H #####, K ###, K ####; Coot: none is described."
    )


def test_the_model_in_a_number_does_not_date_it() -> None:
    split: Block = {"pattern": "40**-#####", "anchors": anchors(("4036-51882", "1955"), (64000, "1957"))}
    assert shares("4011-60000", split).tolist() == shares("4036 60000", split).tolist()


def test_a_number_that_opens_with_the_year_has_that_year() -> None:
    assert core("52/2041", YEAR) == {1952: 1.0}


def test_the_year_it_opens_with_is_told() -> None:
    assert (
        read("52/2041", YEAR).evidence.proves == "If Teal gave it, made in 1952, the year it opens with (s1, YY/####)."
    )


def test_a_year_that_the_block_does_not_have_leaves_its_years_open() -> None:
    assert core("38/2041", YEAR) == pytest.approx(dict.fromkeys(range(1946, 1955), 1 / 9), abs=1e-5)


def test_an_unread_digit_of_the_year_leaves_open_what_the_block_has() -> None:
    assert core("4?/2041", YEAR) == pytest.approx(dict.fromkeys(range(1946, 1950), 0.25))


def test_a_number_in_two_blocks_may_be_of_either() -> None:
    found = read("2011-3390", *TWICE)
    assert found.formats == ("s1", "s2")
    assert found.said == ("It fits 2 blocks, s1, s2, and may be of any of them.",)


def test_a_number_in_two_blocks_is_as_likely_of_either() -> None:
    found = core("2011-3390", *TWICE)
    assert sum(share for year, share in found.items() if year < 1940) == pytest.approx(0.5, abs=1e-5)


def test_a_number_past_the_end_of_one_block_is_of_the_other() -> None:
    assert read("2011-4500", *TWICE).formats == ("s2",)


def test_a_number_in_no_block_leaves_all_years_of_those_it_looks_like_open() -> None:
    found = read("2011-9999", *TWICE)
    assert found.formats == ("s1", "s2")
    assert "No block of Teal is known to hold this number: all years of those it looks like are open." in found.said


def test_a_letter_that_cannot_be_read_leaves_both_books_open() -> None:
    books = ({**H, "pattern": "B #####"}, {**H, "pattern": "K #####"})
    assert read("? 30600", *books).formats == ("s1", "s2")


def test_an_unread_digit_is_the_mean_of_all_it_may_be() -> None:
    each = [shares(f"H 3{digit}600", H) for digit in range(10)]
    assert shares("H 3?600", H) == pytest.approx(np.mean(each, axis=0))


def test_many_unread_digits_are_the_mean_of_all_they_may_be() -> None:
    each = [shares(f"H 3{rest:04}", H) for rest in range(50, 10000, 100)]
    assert shares("H 3????", H) == pytest.approx(np.mean(each, axis=0), abs=0.001)


def test_nine_unread_digits_are_read_at_once() -> None:
    long: Block = {"pattern": "#########", "anchors": anchors((0, "1930"), (999999999, "1940"))}
    assert shares("?????????", long)[5:19].sum() == pytest.approx(0.98 + RARELY * 14 / 38, abs=0.01)


def test_what_an_unread_digit_would_put_outside_the_block_does_not_count() -> None:
    block: Block = {**SHARP, "last": "H 39999"}
    each = [shares(f"H {digit}0600", block) for digit in range(4)]
    assert shares("H ?0600", block) == pytest.approx(np.mean(each, axis=0))


def test_unread_digits_are_told_of() -> None:
    assert read("H 3?6?0", H).said == (
        "2 of its signs could not be read: everything that may stand there counts alike.",
    )


AGAINST: Block = {**SHARP, "anchors": anchors((12400, "1938"), (20000, "1942"), (30000, "1940"), (48800, "1944"))}


def test_contradicting_anchors_both_stay_open() -> None:
    # Both are widened over 1940 to 1942, so at 25000 all three years are alike.
    assert core("H 25000", AGAINST) == pytest.approx(dict.fromkeys((1940, 1941, 1942), 1 / 3), abs=1e-5)


def test_contradicting_anchors_are_told_of() -> None:
    (said,) = read("H 25000", AGAINST).contradictions
    assert said == (
        "20000 is dated 1942 (book), but 30000 is dated 1940 (book): both count, and the years are widened over both."
    )


def test_a_contradiction_far_off_is_not_told_of() -> None:
    far = {**SHARP, "anchors": anchors((100, "1925"), (200, "1926"), (20000, "1942"), (30000, "1940"), (48800, "1944"))}
    assert read("H 00150", far).contradictions == ()


def test_one_number_with_two_dates_that_do_not_meet_is_open_over_both() -> None:
    twice: Block = {**SHARP, "anchors": anchors((12400, "1938"), (12400, "1941"))}
    found = read("H 12400", twice)
    assert set(core("H 12400", twice)) == {1938, 1939, 1940, 1941}
    assert len(found.contradictions) == 1


def test_one_number_with_two_dates_that_meet_has_what_they_share() -> None:
    assert core("H 12400", {**SHARP, "anchors": anchors((12400, "1938/1940"), (12400, "1940/1942"))}) == {1940: 1.0}


def test_dates_that_follow_each_other_do_not_contradict() -> None:
    assert read("H 30600", H).contradictions == ()


def test_the_anchors_below_and_above_are_named() -> None:
    assert [(used.serial, used.date) for used in read("H 30600", H).anchors] == [
        ("12400", "1938-03"),
        ("48800", "1941"),
    ]


def test_an_anchor_itself_is_the_only_one_named() -> None:
    assert [used.serial for used in read("H 12400", H).anchors] == ["12400"]


def test_the_evidence_says_what_it_proves_and_what_not() -> None:
    found = read("Serial H 30600", H).evidence
    assert found.kind == "serial"
    assert found.proves == "If Teal gave it, made about 1939, between 12400 of 1938-03 and 48800 of 1941 (s1, H #####)."
    assert found.does_not_prove.startswith("Between anchors the line is a hypothesis, never a fact")
    assert found.source == "book (Works ledger)"
    assert found.status == "single"


def test_the_reading_stands_as_it_was_found_and_where() -> None:
    found = read("Serial  h-30600 ", H).evidence
    assert (found.reading, found.place) == ("h-30600", (8, 15))


def test_an_invented_makers_number_is_marked_as_such() -> None:
    folder = works(H)
    invented = folder.model_copy(update={"maker": folder.maker.model_copy(update={"invented": True})})
    (found,) = read_serials("H 30600", base(invented))
    assert found.evidence.status == "invented"


def test_the_bounds_are_the_fewest_years_that_hold_95_percent() -> None:
    found = read("H 30600", H).evidence
    assert (found.not_before, found.not_after, found.weighed) == ("1939", "1940", True)


def test_years_that_are_too_many_bound_nothing() -> None:
    found = read("K 412", {**K, "made": "1925/1955"}).evidence
    assert (found.not_before, found.not_after, found.weighed) == (None, None, False)


def test_every_maker_whose_form_it_fits_gets_a_reading() -> None:
    found = read_serials("H 30600", base(works(H), works(SHARP, name="coot"), works(K, name="smew")))
    assert [reading.maker for reading in found] == ["teal", "coot"]


def test_a_named_maker_alone_gets_a_reading() -> None:
    found = read_serials("H 30600", base(works(H), works(H, name="coot")), "coot")
    assert [reading.maker for reading in found] == ["coot"]


def test_a_maker_that_is_not_in_the_base_is_refused() -> None:
    with pytest.raises(Refused, match=r"unknown maker 'teel'\. Did you mean 'teal'\?"):
        read_serials("H 30600", base(works(H)), "teel")


def test_the_density_is_given_for_the_years_asked_for_in_their_order() -> None:
    asked = np.array([1940, 1900, 1939])
    found = density(works(H), "H 30600", asked, WORDING)
    whole = shares("H 30600", H)
    assert found is not None
    assert found.tolist() == [whole[1940 - 1924], 0.0, whole[1939 - 1924]]
