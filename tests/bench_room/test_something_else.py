"""Something else may always be behind a symptom, and what is cured comes in its order: jet, pressure, cleaning, air."""

from __future__ import annotations

from pathlib import Path

import pytest
from hobmark.bench.symptoms import CaseEvidence, Search, search
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.faults import Stage
from hobmark.problems import Refused
from hobmark.reports.setup_symptom import symptom_shown
from hypothesis import given, settings
from hypothesis import strategies as st

from .bases import base
from .fault_finding import SOUGHT, TABLE, outcomes_of, walked

STAGES = [None, *Stage]


def chance_of_something_else(found: Search) -> float:
    return next(each.chance for each in found.causes if each.id == "something_else")


@pytest.mark.parametrize("symptom", SOUGHT)
def test_something_else_is_among_the_causes_of_every_symptom(symptom: str) -> None:
    assert 0 < chance_of_something_else(search(base(), symptom)) < 0.5


@pytest.mark.parametrize("symptom", SOUGHT)
def test_it_grows_with_every_look_that_is_in_vain(symptom: str) -> None:
    in_vain = [(cause, "not_seen") for cause in TABLE.symptoms[symptom].causes]
    chances = [chance_of_something_else(search(base(), symptom, in_vain[:upto])) for upto in range(len(in_vain) + 1)]
    assert chances == sorted(set(chances))


@pytest.mark.parametrize("symptom", SOUGHT)
def test_when_only_it_is_left_nothing_known_fits_and_it_is_still_shown(symptom: str) -> None:
    found = search(base(), symptom, [(cause, "not_seen") for cause in TABLE.symptoms[symptom].causes])
    assert (found.none_left, found.next, found.found, found.held) == (True, None, None, ())
    assert [(each.id, each.chance) for each in found.causes] == [("something_else", pytest.approx(1))]


@pytest.mark.parametrize("outcome", ["seen", "not_seen"])
def test_nothing_proves_it(outcome: str) -> None:
    with pytest.raises(ValueError, match="'something_else' is no check of this symptom"):
        search(base(), "valve_stiff", [("something_else", outcome)])


@pytest.mark.parametrize("may_light", [True, False])
@pytest.mark.parametrize("symptom", SOUGHT)
def test_it_is_never_asked_for(symptom: str, may_light: bool) -> None:
    assert "something_else" not in list(walked(symptom, may_light=may_light))


def test_it_stands_on_the_sheet_with_who_may_and_a_caution() -> None:
    shown = symptom_shown(base(), search(base(), "valve_stiff"))
    (other,) = [each for each in shown.causes if each.id == "something_else"]
    assert (other.label, other.cautions) == ("something else, not in this list", ["gas_leak", "leak_fluid"])
    assert shown.model_dump_json()


CAUSE = (
    "{label: l, proof: {do: Look., seconds: 5}, remedy: Mend., who: fitter, common_practice: true, cautions: [gas_leak]"
)
SAID = "label: l, do: [Look.], common_practice: true, cautions: [gas_leak]"
SYMPTOM = f"symptoms: {{s: {{{SAID}, causes: {{c: often, pilot_out: often}}"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (f"{SYMPTOM}}}}}\ncauses: {{c: {CAUSE}, not_with: {{pilots: [one]}}}}}}", "unknown feature 'pilots'."),
        (f"{SYMPTOM}, not_with: {{pilot_count: [none]}}}}}}\ncauses: {{c: {CAUSE}}}}}", "unknown value of pilot_count"),
        (f"causes: {{something_else: {CAUSE}}}}}", "'something_else' is the program's own cause"),
        (
            f"{SYMPTOM.replace('c: often', 'something_else: often')}}}}}",
            "'something_else' is among the causes of every symptom",
        ),
        (
            "checks: {pilot_out: {label: l, do: Look., seconds: 5, results: {a: {label: a}, b: {label: b}}}}",
            "'pilot_out' is a cause already.",
        ),
        (f"{SYMPTOM}}}}}\ncauses: {{c: {CAUSE}, stage: paint}}}}", "stage"),
    ],
)
def test_a_table_that_cannot_be_is_refused(tmp_path: Path, text: str, said: str) -> None:
    (tmp_path / "reference").mkdir()
    (tmp_path / "reference" / "faults.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(Refused) as refused:
        read_base([knowledge_root(), tmp_path])
    assert [problem for problem in refused.value.problems if said in str(problem)] != []


def test_a_base_that_says_nothing_of_something_else_is_refused(tmp_path: Path) -> None:
    (tmp_path / "reference").mkdir()
    for name in (
        "wording.yaml",
        "assemblies.yaml",
        "features.yaml",
        "reference/cautions.yaml",
        "reference/hazards.yaml",
    ):
        (tmp_path / name).write_text((knowledge_root() / name).read_text(encoding="utf-8"), encoding="utf-8")
    faults = (knowledge_root() / "reference/faults.yaml").read_text(encoding="utf-8")
    (tmp_path / "reference/faults.yaml").write_text(faults.replace("something_else: sometimes\n", ""), encoding="utf-8")
    with pytest.raises(Refused, match="it is not said how often it is something else"):
        read_base([tmp_path])


def stage(name: str) -> int:
    entry = TABLE.checks[name] if name in TABLE.checks else TABLE.causes[name]
    return STAGES.index(entry.stage)


@pytest.mark.parametrize("may_light", [True, False])
@pytest.mark.parametrize("symptom", SOUGHT)
@settings(max_examples=25)
@given(data=st.data())
def test_no_act_overtakes_a_cause_of_an_earlier_stage(symptom: str, may_light: bool, data: st.DataObject) -> None:
    told = data.draw(st.lists(st.sampled_from(outcomes_of(symptom)), max_size=6))
    found = search(base(), symptom, told, may_light=may_light)
    possible = [stage(each.id) for each in found.causes if each.id != "something_else"]
    assert found.next is None or not any(0 < each < stage(found.next.id) for each in possible)


@pytest.mark.parametrize("symptom", ["flames_lift", "yellow_flames", "pops_on_shut_off", "simmer_goes_out"])
def test_the_shutter_is_not_touched_before_all_that_it_hides(symptom: str) -> None:
    acts = [stage(act) for act in walked(symptom, may_light=True) if stage(act)]
    assert acts == sorted(acts)
    assert acts[-1] == STAGES.index(Stage.AIR)


def test_what_waits_for_a_pressure_that_may_not_be_read_is_held_back_with_it() -> None:
    gauged = CaseEvidence(found=(("jet_too_large", "not_seen"), ("jet_off_centre", "not_seen")))
    found = search(base(), "yellow_flames", case=gauged)
    assert found.next is None
    assert {"pressure_high", "lint_in_tube", "air_too_little"} <= set(found.held)
