"""The maker that knowledge/README.md has a curator write in ten minutes reads, without advice on what it says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hobmark.case import read_case
from hobmark.curating.cases import case_paths, run_cases
from hobmark.curating.check import checked
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.reasoning.examination import Compiled, compile_base

README = Path(__file__).parents[2] / "knowledge" / "README.md"
FILE = re.compile(r"^`(my_base/[\w./\-]+)`\n```yaml\n(.*?)^```$", re.DOTALL | re.MULTILINE)


@pytest.fixture(scope="module")
def roots(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    above = tmp_path_factory.mktemp("readme")
    for name, text in FILE.findall(README.read_text(encoding="utf-8")):
        (above / name).parent.mkdir(parents=True, exist_ok=True)
        (above / name).write_text(text, encoding="utf-8")
    return [knowledge_root(), above / "my_base"]


@pytest.fixture(scope="module")
def compiled(roots: list[Path]) -> Compiled:
    return compile_base(read_base(roots))


def test_the_maker_of_the_readme_has_a_file_of_every_kind(roots: list[Path]) -> None:
    folder = roots[1] / "my_maker"
    assert {path.name for path in folder.iterdir()} == {
        *(
            f"{name}.yaml"
            for name in ("maker", "sources", "models", "traits", "rules", "serials", "parts", "fit_rules")
        ),
        *("specimens", "cases"),
    }


def test_the_maker_of_the_readme_reads(compiled: Compiled) -> None:
    assert compiled.base.makers["my_maker"].name == "My Maker"


def test_check_only_tells_that_too_little_is_said_of_it_yet(compiled: Compiled, roots: list[Path]) -> None:
    (said,) = [line for line in checked(compiled, roots).advice if "mm-" in line or "my_maker" in line]
    assert said.startswith("my_maker: nothing is said of")


def test_the_case_of_the_readme_comes_to_what_it_says(compiled: Compiled, roots: list[Path]) -> None:
    (outcome,) = run_cases(compiled, case_paths(roots[1:]))
    assert outcome.faults == ()


def test_the_bench_record_of_the_readme_is_one_that_a_case_holds(tmp_path: Path, compiled: Compiled) -> None:
    (record,) = re.findall(r"```yaml\n(bench:\n.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    case = tmp_path / "case.yaml"
    case.write_text(f"hobmark: 1\n{record}observations: []\n", encoding="utf-8")
    read = read_case(case, compiled.base).case.bench
    assert set(read.model_fields_set) == set(BenchRecord.model_fields)
