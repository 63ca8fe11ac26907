"""A small base that a curator could have just begun: one works, two variants, one kept case."""

from __future__ import annotations

from pathlib import Path

import pytest
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.reasoning.examination import Compiled, compile_base

ASSEMBLIES = """\
body: {label: body, holds: the frame, is_the_range: true}
backguard: {label: backguard, holds: the panel, swapped: sometimes}
"""
FEATURES = """\
legs:
  {label: Legs, assembly: body, ask: On what?, look: Below., access: photo, values: {cast: {}, pressed: {}}}
edge:
  {label: Edge, assembly: body, ask: Which edge?, look: Corner., access: photo, values: {square: {}, round: {}}}
door:
  {label: Door, assembly: body, ask: Which door?, look: Ahead., access: photo, values: {flat: {}, framed: {}}}
vents:
  {label: Vents, assembly: backguard, ask: Any vents?, look: Panel., access: photo, values: {slots: {}, grille: {}}}
crest:
  {label: Crest, assembly: backguard, ask: Any crest?, look: Panel., access: photo, values: {plain: {}, drawn: {}}}
stamp:
  {label: Stamp, assembly: body, ask: Any stamp?, look: Behind., access: hand, values: {absent: {}, town: {}}}
"""
MAKER = 'id: teal_works\nlabel: Teal Works\nlife: "1930/1949"\ninvented: true\n'
MODELS = """\
teal:
  label: Teal
  variants:
    teal_plain: {label: Teal, made: ["1930/1949"], sources: [cat]}
    teal_grand: {label: Teal Grand, made: ["1930/1949"], sources: [cat]}
"""
TRAITS = "".join(
    f"- {{id: tw-t{number:03}, feature: {feature}, of: [teal_{grade}], value: {value}, "
    "certainty: attested, sources: [cat]}\n"
    for number, (feature, grade, value) in enumerate(
        [
            ("legs", "plain", "cast"),
            ("legs", "grand", "pressed"),
            ("edge", "plain", "square"),
            ("edge", "grand", "round"),
            ("door", "plain", "flat"),
            ("door", "grand", "framed"),
            ("vents", "plain", "slots"),
            ("vents", "grand", "grille"),
            ("crest", "plain", "plain"),
            ("crest", "grand", "drawn"),
        ],
        start=1,
    )
)
RULES = """\
- id: tw-r01
  when: {all: [{stamp: town}]}
  then: [{not_before: "1940", of: body}]
  because: The stamp was cut in 1940.
  sources: [cat]
"""
SPECIMEN = """\
id: sp-1
maker: teal_works
seen: {date: "2001", by: the owner}
known: {variant: teal_grand, made: "1935", basis: [receipt]}
observations: [{feature: legs, is: pressed, original: true}, {feature: vents, is: grille}]
"""
CASE = """\
hobmark: 1
label: a green range
observations:
  - {feature: legs, is: cast}
  - {feature: edge, is: square}
  - {feature: door, is: flat}
  - {feature: vents, is: grille}
  - {feature: crest, is: drawn}
  - {feature: stamp, is: town}
expect: {variant: teal_plain, made: "1940/1949", not_its_own: [backguard]}
not: [teal_grand]
"""


class Bench:
    """A base on disk, and what its files are changed to."""

    def __init__(self, root: Path) -> None:
        self.root = root
        (root / "teal_works" / "cases").mkdir(parents=True)
        (root / "teal_works" / "specimens").mkdir()
        self.write("wording.yaml", (knowledge_root() / "wording.yaml").read_text(encoding="utf-8"))
        for name, text in (("assemblies.yaml", ASSEMBLIES), ("features.yaml", FEATURES)):
            self.write(name, text)
        texts = {"maker": MAKER, "models": MODELS, "traits": TRAITS, "rules": RULES, "specimens/sp-1": SPECIMEN}
        for name, text in texts.items():
            self.write(f"teal_works/{name}.yaml", text)
        self.write("teal_works/sources.yaml", "cat: {kind: catalogue, title: Catalogue}\n")
        self.case("green", CASE)

    def write(self, name: str, text: str) -> None:
        (self.root / name).write_text(text, encoding="utf-8")

    def write_maker(self, name: str, life: str, variant: str, traits: int) -> None:
        """Another works with one variant and so many statements, on features the first speaks of."""
        (self.root / name).mkdir()
        looks = [("legs", "cast"), ("edge", "round"), ("door", "flat"), ("vents", "slots"), ("crest", "plain")]
        self.write(f"{name}/maker.yaml", f'id: {name}\nlabel: {name}\nlife: "{life}"\ninvented: true\n')
        self.write(f"{name}/sources.yaml", "cat: {kind: catalogue, title: Catalogue}\n")
        made = f'{{label: {variant}, made: ["{life}"], sources: [cat]}}'
        self.write(f"{name}/models.yaml", f"family_of_{variant}:\n  label: F\n  variants: {{{variant}: {made}}}\n")
        lines = [
            f"- {{id: t-{feature}, feature: {feature}, of: [all], value: {value}, "
            "certainty: attested, sources: [cat]}\n"
            for feature, value in looks[:traits]
        ]
        self.write(f"{name}/traits.yaml", "".join(lines))

    def case(self, name: str, text: str) -> Path:
        path = self.root / "teal_works" / "cases" / f"{name}.yaml"
        path.write_text(text, encoding="utf-8")
        return path

    def compiled(self) -> Compiled:
        return compile_base(read_base([self.root]))


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path / "base")
