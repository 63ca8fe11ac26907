"""Running the kept cases of a base, and every specimen as a case with itself left out of the base."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from hobmark.bench.fit import part_fits
from hobmark.case import Case, CaseFile, Expected, read_case
from hobmark.dates import read_span
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.root import maker_folders, shown_path
from hobmark.knowledge.schema.observations import Specimen
from hobmark.problems import Problem, Refused
from hobmark.reasoning.cells import Group
from hobmark.reasoning.examination import Compiled, Examination
from hobmark.reasoning.model import retabled
from hobmark.reasoning.originality import NOT_ITS_OWN, originality
from hobmark.reports.curating import Outcome
from hobmark.reports.words import group_words, percent


def case_paths(roots: Iterable[Path]) -> list[Path]:
    """Every kept case of the makers below `roots`."""
    return [
        path for root in roots for folder in maker_folders(root) for path in sorted((folder / "cases").glob("*.yaml"))
    ]


def read_kept(base: KnowledgeBase, paths: Sequence[Path]) -> list[CaseFile]:
    """Read kept cases; raise Refused with every problem of every file."""
    read: list[CaseFile] = []
    problems: list[Problem] = []
    for path in paths:
        try:
            kept = read_case(path, base, strict=True)
            if kept.case.expect is None:
                remedy = "Add 'expect:' with the variant it must come to."
                raise Refused((Problem(str(path), 1, 1, "a kept case needs 'expect'.", remedy),))
            read.append(kept)
        except Refused as refused:
            problems += (replace(problem, path=str(shown_path(path))) for problem in refused.problems)
    if problems:
        raise Refused(tuple(problems))
    return read


def run_cases(compiled: Compiled, paths: Sequence[Path]) -> list[Outcome]:
    """Run kept cases; raise Refused with every problem of every file."""
    kept = read_kept(compiled.base, paths)
    return [judge(Examination(compiled, each.case), each.path.stem, each.case) for each in kept]


def judge(examination: Examination, name: str, case: Case) -> Outcome:
    """Hold one examined case against what it expects and excludes."""
    base, ranking = examination.compiled.base, examination.ranking
    groups = examination.compiled.model.cells.groups
    leader = groups[ranking.leader]
    faults = list(_faults(examination, case.expect or Expected(), leader))
    for name_out in case.not_:
        if Group(*base.variant_keys[name_out]) == leader:
            faults.append(f"{name_out} ranks first, and must not")
    label = group_words(base, leader)
    if case.todo is not None and not faults:
        faults.append("it behaves now: remove 'todo'")
        return Outcome(name, "case", label, float(ranking.by_group[ranking.leader]), tuple(faults))
    return Outcome(name, "case", label, float(ranking.by_group[ranking.leader]), tuple(faults), case.todo)


def _faults(examination: Examination, expect: Expected, leader: Group) -> Iterable[str]:
    base, ranking, model = examination.compiled.base, examination.ranking, examination.compiled.model
    if expect.unlisted and not leader.unlisted:
        yield "expected none that is listed"
    if expect.maker is not None and leader.maker != expect.maker:
        yield f"expected the maker {expect.maker}"
    if expect.variant is not None and leader != Group(*base.variant_keys[expect.variant]):
        chance = ranking.by_group[model.cells.groups.index(Group(*base.variant_keys[expect.variant]))]
        yield f"expected {expect.variant} first, which has {percent(float(chance))}"
    if expect.made is not None:
        span = read_span(expect.made)
        inside = sum(p for year, p in ranking.by_year.items() if span.earliest - 1 < year < span.latest)
        if inside < 0.5:
            yield f"expected it made in {expect.made}, which has {percent(inside)}"
    for assembly in expect.not_its_own:
        found = float(ranking.swapped[model.assemblies.index(assembly)])
        if found < NOT_ITS_OWN:
            yield f"expected the {assembly} not to be its own, which has {percent(found)}"
    yield from _originality_faults(examination, expect)
    yield from _fit_faults(examination, expect)


def _originality_faults(examination: Examination, expect: Expected) -> Iterable[str]:
    if not expect.originality and expect.verdict is None:
        return
    whole = originality(examination.compiled.base, examination.ranking)
    found = {examination.compiled.model.assemblies[part.assembly]: part for part in whole.parts}
    for assembly, verdict in expect.originality.items():
        part = found.get(assembly)
        told = f"{part.verdict.value} ({percent(part.swapped)} not its own)" if part is not None else "not looked at"
        if part is None or part.verdict is not verdict:
            yield f"expected the {assembly} to be {verdict.value}, but it is {told}"
    if expect.verdict is not None and whole.verdict is not expect.verdict:
        yield f"expected the range to be {expect.verdict.value}, but it is {whole.verdict.value}"


def _fit_faults(examination: Examination, expect: Expected) -> Iterable[str]:
    for name, verdict in expect.fit.items():
        (found,) = part_fits(examination, [examination.compiled.base.part_keys[name]])
        if found.verdict is not verdict:
            yield f"expected the fit of {name} to be {verdict.value}, but it is {found.verdict.value}"


def run_specimens(base: KnowledgeBase, compiled: Compiled) -> list[Outcome]:
    """Every specimen as a case, examined with a base that does not have it."""
    outcomes = []
    for maker, folder in base.makers.items():
        for specimen in folder.specimens:
            without = base.without(specimen=f"{maker}/{specimen.id}")
            shown = {seen.feature for seen in specimen.observations if seen.feature is not None and seen.is_reading}
            left_out = Compiled(without, retabled(without, compiled.model, shown), compiled.rules)
            outcomes.append(_judged_specimen(left_out, maker, specimen))
    return outcomes


def specimen_case(maker: str, specimen: Specimen) -> Case:
    """A specimen as a case: what was seen, and what it is known to be."""
    known = f"{maker}/{specimen.known.variant}"
    return Case(hobmark="1", label=specimen.id, observations=specimen.observations, expect=Expected(variant=known))


def _judged_specimen(compiled: Compiled, maker: str, specimen: Specimen) -> Outcome:
    case = specimen_case(maker, specimen)
    examination = Examination(compiled, case)
    outcome = judge(examination, specimen.id, case)
    return Outcome(specimen.id, "specimen", outcome.leader, outcome.probability, outcome.faults, specimen.todo)
