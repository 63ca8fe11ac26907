"""The bench files of a base of one's own, beside the shipped one: what is refused, and what takes whose place."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.problems import Refused
from hobmark.reasoning.cache import load_compiled

from .bases import base

STEP = "{id: mine, part: pilots, title: Mine, do: Look., common_practice: true, cautions: [gas_leak]"
SAID = "{id: a, of: [all], step: jets, common_practice: true, cautions: [wrong_gas]"
KNOWN = "common_practice: true, cautions: [gas_leak]"
CAUSE = f"{{label: l, proof: {{do: Look., seconds: 5}}, remedy: Mend., who: owner, {KNOWN}}}"
SEEN = f"label: l, do: [Look.], {KNOWN}"
SOURCE = "source: a, status: single"
METRIC_GAS = (
    f"natural: {{label: n, heating_value: {{is: 37 MJ/m3, {SOURCE}}}, gravity: {{is: 0.6, {SOURCE}}}, "
    f"pressure: {{is: 4 in wc, {SOURCE}}}}}"
)
MAKER = {
    "mine/maker.yaml": 'id: mine\nlabel: Mine\nlife: "1930/1950"\n',
    "mine/sources.yaml": "cat: {kind: catalogue, title: Catalogue}\n",
    "mine/models.yaml": 'f: {label: F, variants: {f_one: {label: F, made: ["1930/1940"], sources: [cat]}}}\n',
}
Read = Callable[[dict[str, str]], KnowledgeBase]


@pytest.fixture
def read(tmp_path: Path) -> Read:
    def command(files: dict[str, str]) -> KnowledgeBase:
        for name, text in files.items():
            (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
            (tmp_path / name).write_text(text, encoding="utf-8")
        return read_base([knowledge_root(), tmp_path])

    return command


MISTAKES = [
    ("set_up", f"- {STEP.replace('gas_leak', 'gas_leek')}}}", "unknown caution 'gas_leek'. Did you mean 'gas_leak'?"),
    ("set_up", f"- {STEP}, when: {{pilots: [one]}}}}", "unknown feature 'pilots'."),
    ("set_up", f"- {STEP}, when: {{pilot_count: [three]}}}}", "unknown value of pilot_count 'three'."),
    ("set_up", f"- {STEP}}}\n- {STEP}}}", "duplicate id 'mine'."),
    ("set_up", f"- {STEP.replace('Look.', 'Wait 5 minutes.')}}}", "a number stands in the words."),
    ("hazards", f"gas_leak: {{says: A., short: A, {SOURCE}}}", "'gas_leak' stands in cautions.yaml"),
    ("faults", f"causes: {{c: {CAUSE}}}", "no symptom has the cause 'c'."),
    ("faults", f"symptoms: {{s: {{{SEEN}, causes: {{pilot_out: often, c: often}}}}}}", "unknown cause 'c'."),
    (
        "faults",
        f"symptoms: {{s: {{{SEEN}, causes: {{pilot_out: often, pilot_low: often}}, checks: [pilot]}}}}",
        "unknown check 'pilot'.",
    ),
    (
        "faults",
        "checks: {k: {label: l, do: Look., seconds: 5, results: {a: {label: a, causes: {c: often}}, b: {label: b}}}}",
        "unknown cause 'c'.",
    ),
    ("faults", "lighting: [gas_leek]", "unknown caution 'gas_leek'. Did you mean 'gas_leak'?"),
    ("faults", f"causes: {{c: {CAUSE.replace('who: owner', 'who: owner, lights: true')}}}", "is not the owner's."),
    ("faults", f"symptoms: {{s: {{{SEEN}}}}}", "either stops everything or has causes"),
    ("drills", f"- {{id: mine, series: number, name: 81, diameter: 0.3 mm, {SOURCE}}}", "'diameter' is in inches."),
    ("drills", f"- {{id: mine, series: metric, name: 1/8 in, diameter: 1/8 in, {SOURCE}}}", "is in millimetres."),
    (
        "drills",
        f"- {{id: mine, series: fractional, name: 1/8 in, diameter: 9/64 in, {SOURCE}}}",
        "a metric or fractional drill is called by its diameter.",
    ),
    ("gases", METRIC_GAS, "'heating_value' is in Btu/ft3."),
]


@pytest.mark.parametrize(("name", "text", "said"), MISTAKES, ids=[said for _, _, said in MISTAKES])
def test_a_mistake_in_a_bench_file_is_told_in_its_place(read: Read, name: str, text: str, said: str) -> None:
    with pytest.raises(Refused) as refused:
        read({f"reference/{name}.yaml": text})
    problems = [str(problem) for problem in refused.value.problems if said in problem.message + " " + problem.remedy]
    assert len(problems) == 1
    assert f"reference/{name}.yaml:" in problems[0]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            f"- {SAID.replace('wrong_gas', 'wrong_gass')}, says: So.}}",
            "unknown caution 'wrong_gass'. Did you mean 'wrong_gas'?",
        ),
        (f"- {SAID.replace('jets', 'jet')}, says: So.}}", "unknown step 'jet'."),
        (f"- {SAID}, field: bore, value: 1 mm}}", "unknown field of jets 'bore'."),
        (f"- {SAID}, field: top_burner_input, value: 4 in wc}}", "'top_burner_input' takes no pressure."),
        (f"- {SAID}, field: bores, value: 1 mm}}", "'bores' takes no length."),
        (f"- {SAID.replace('all', 'g')}, says: So.}}", "unknown variant or family 'g'."),
        (f"- {SAID.replace('common_practice: true', 'sources: [dog]')}, says: So.}}", "unknown source 'dog'."),
        (f"- {SAID}, says: So.}}\n- {SAID}, says: So.}}", "duplicate id 'a'."),
    ],
)
def test_a_mistake_in_a_makers_setup_is_told_in_its_place(read: Read, text: str, said: str) -> None:
    with pytest.raises(Refused) as refused:
        read(MAKER | {"mine/setup.yaml": text})
    (problem,) = refused.value.problems
    assert "mine/setup.yaml:" in str(problem)
    assert said in f"{problem.message} {problem.remedy}"


def test_a_makers_setup_without_a_mistake_is_read(read: Read) -> None:
    mine = read(MAKER | {"mine/setup.yaml": f"- {SAID}, says: So.}}"}).makers["mine"]
    assert [each.says for each in mine.setup] == ["So."]


def test_a_gas_alone_is_not_enough(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="there is nothing of bottled, manufactured"):
        read_base([with_one_gas(tmp_path)])


def with_one_gas(folder: Path) -> Path:
    shipped = knowledge_root()
    for name in ("wording.yaml", "assemblies.yaml", "features.yaml", "reference/cautions.yaml"):
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text((shipped / name).read_text(encoding="utf-8"), encoding="utf-8")
    whole = (shipped / "reference/gases.yaml").read_text(encoding="utf-8")
    (folder / "reference/gases.yaml").write_text(whole.partition("bottled:\n")[0], encoding="utf-8")
    return folder


def test_a_step_of_ones_own_takes_the_place_of_the_shipped_one_of_its_id(read: Read) -> None:
    mine = read({"reference/set_up.yaml": f"- {STEP.replace('id: mine', 'id: tag')}}}"})
    assert mine.bench.step_of["tag"].title == "Mine"
    assert len(mine.bench.steps) == len(base().bench.steps)


def test_the_tables_come_back_from_the_cache_as_they_were(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOBMARK_CACHE", str(tmp_path))
    first = load_compiled([knowledge_root()]).base
    assert load_compiled([knowledge_root()]).base.bench == first.bench == base().bench
