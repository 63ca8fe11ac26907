"""A small valid base, and what is said of it once something in it has been changed."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.reading import read_base
from hobmark.problems import Refused

HERE = "▶"
"""In a changed text: just before the place that the problem must name."""

FILES = {
    "wording.yaml": """\
often: {always: 0.99, usually: 0.85, often: 0.6, sometimes: 0.3, rarely: 0.08, never: 0.005}
swapped: {hardly: 0.005, rarely: 0.02, sometimes: 0.06, often: 0.15, mostly: 0.3}
slips: {hardly: 0.005, rarely: 0.02, sometimes: 0.05, often: 0.1}
certainty: {attested: 20, inferred: 10, recollected: 5, disputed: 2}
sure: {certain: 1, likely: 0.8, guess: 0.6}
seconds: {photo: 5, glance: 5, hand: 20, tool: 90, panel_off: 900}
situations:
  listing: {label: a listing, offers: [photo], seconds_each: 60}
  sale: {label: at a sale, offers: [photo, glance, hand, tool]}
  bench: {label: on the bench, offers: [photo, glance, hand, tool, panel_off]}
cannot_tell: {photo: 0.08, glance: 0.05, hand: 0.08, tool: 0.1, panel_off: 0.02}
""",
    "assemblies.yaml": """\
body: {label: body, holds: chassis, is_the_range: true}
oven_control: {label: oven control, holds: dial, swapped: often}
loose_iron: {label: loose iron, holds: drip pans, swapped: mostly}
""",
    "features.yaml": """\
base:
  {label: Base, assembly: body, ask: What does it stand on?, look: Below., access: photo, values: {legs: {}, skirt: {}}}
dial_material:
  label: Dial material
  assembly: oven_control
  ask: What is the dial made of?
  look: Tap it.
  access: photo
  values: {porcelain: {}, phenolic: {}, urea: {}}
drip_pans:
  label: Drip pans
  assembly: loose_iron
  ask: Are there drip pans?
  look: Below the grates.
  access: glance
  values: {absent: {}, present: {}}
drip_pan_depth:
  label: Drip-pan depth
  assembly: loose_iron
  ask: How deep are they?
  look: Rim to bottom.
  access: hand
  measure: {unit: mm, error: 2}
  bands: {shallow: "..19", deep: "19.."}
  needs: {drip_pans: present}
high_shelf:
  label: High shelf
  assembly: body
  ask: Is there a shelf?
  look: Above.
  access: photo
  traces_on: body
  values: {folding: {}, fixed: {}}
dial_skirt:
  label: Dial skirt
  assembly: oven_control
  ask: Is there a skirt?
  look: Behind the dial.
  access: glance
  values: {absent: {}, steel: {}}
""",
    "reference/cautions.yaml": """\
gas: {says: Gas can kill., short: Gas., source: a standard, status: single, when: {dial_material: [urea]}}
""",
    "finch_works/maker.yaml": 'id: finch_works\nlabel: Finch Works\nlife: "1924/1961"\n',
    "finch_works/sources.yaml": 'cat-38: {kind: catalogue, title: Catalogue, date: "1938"}\n',
    "finch_works/models.yaml": """\
finch:
  label: Finch
  variants:
    finch_plain: {label: Finch, made: ["1936/1942"], sources: [cat-38]}
    finch_deluxe: {label: Finch De Luxe, made: [{from: "1938", to: "[1941..1942]"}], sources: [cat-38]}
""",
    "finch_works/traits.yaml": """\
- {id: fw-t001, feature: dial_material, of: [finch], value: porcelain, certainty: attested, sources: [cat-38:3]}
- id: fw-t002
  feature: dial_material
  of: [finch_deluxe]
  run: [porcelain, {from: "1939", value: phenolic, run_out: 6 months}]
  certainty: inferred
  sources: [sp-1]
  against: [fw-t001]
- id: fw-t003
  feature: drip_pans
  of: [all]
  values: {absent: usually, present: sometimes}
  certainty: recollected
  sources: [cat-38]
""",
    "finch_works/rules.yaml": """\
- id: fw-r01
  when: {all: [{dial_skirt: steel}, {any: [{drip_pans: present}, {drip_pan_depth: deep}]}]}
  then: [{feature: dial_material, is: phenolic}, {not_before: "1939", of: oven_control}, {rules_out: [finch], of: body}]
  because: The skirt came with the moulded dial.
  sources: [cat-38:9]
""",
    "finch_works/specimens/sp-1.yaml": """\
id: sp-1
maker: finch_works
seen: {date: "2019", by: the owner}
known: {variant: finch_plain, made: "1937", basis: [receipt]}
observations:
  - {feature: dial_material, is: porcelain}
  - {feature: drip_pan_depth, measured: 31 mm}
  - {feature: drip_pans, is_not: absent}
  - {plate_text: FINCH WORKS, found_on: rating_plate}
""",
}


class SmallBase:
    """The small base on disk."""

    def __init__(self, root: Path) -> None:
        self.root = root
        for name, text in FILES.items():
            self.write(name, text)

    def write(self, name: str, text: str) -> None:
        """Write one file whole."""
        (self.root / name).parent.mkdir(parents=True, exist_ok=True)
        (self.root / name).write_text(text, encoding="utf-8")

    def change(self, name: str, old: str, new: str) -> str:
        """Put `new` in place of `old`, which stands once; the place marked in `new`, as file:line:column."""
        text = (self.root / name).read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {name}"
        before, marked, after = text.replace(old, new).partition(HERE)
        self.write(name, before + after)
        line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
        return f"{name}:{line}:{column}" if marked else name

    def read(self) -> KnowledgeBase:
        """The base as it stands."""
        return read_base([self.root])

    def refusals(self, roots: Sequence[Path] = ()) -> list[str]:
        """What reading the base, or others, is refused for, with paths as from its folder."""
        with pytest.raises(Refused) as caught:
            read_base(roots or [self.root])
        return [str(problem).removeprefix(f"{self.root}{'/'}") for problem in caught.value.problems]
