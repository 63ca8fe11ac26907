"""A base small enough to know by heart: one invented maker, four variants, eight features; the shipped wording."""

from __future__ import annotations

import shutil
from pathlib import Path

from hobmark.knowledge.root import knowledge_root

ASSEMBLIES = """
body: {label: body, holds: the frame, is_the_range: true}
front: {label: front, holds: the doors, swapped: rarely}
backguard: {label: backguard, holds: the panel behind the top, swapped: rarely}
electrics: {label: electrics, holds: clock, swapped: sometimes}
loose_iron: {label: loose iron, holds: grates and pans, swapped: mostly}
burners: {label: burners, holds: the burners, swapped: sometimes}
"""

FEATURES = """
door_window:
  {label: Window, assembly: front, ask: "Is there a window in the oven door?", look: At the door., access: photo,
   values: {absent: {}, small: {}, large: {}}}
clock:
  {label: Clock, assembly: electrics, ask: "What clock is on the panel?", look: At the panel., access: photo,
   traces_on: backguard, values: {absent: {}, wind_up: {}, electric: {}}}
clock_face:
  {label: Clock face, assembly: electrics, ask: "What colour is its face?", look: At the panel., access: photo,
   needs: {clock: [wind_up, electric]}, values: {black: {}, white: {}}}
drip_pans:
  {label: Drip pans, assembly: loose_iron, ask: "Are there pans below the burners?", look: Lift a grate.,
   access: glance, values: {absent: {}, present: {}}}
drip_pan_depth:
  {label: Pan depth, assembly: loose_iron, ask: "How deep are the pans?", look: Rim to bottom., access: hand,
   needs: {drip_pans: present}, measure: {unit: mm, error: 2},
   bands: {shallow: "..19", middling: "19..28", deep: "28.."}}
burner_head:
  {label: Burner head, assembly: burners, ask: "What head does a burner have?", look: From above., access: glance,
   values: {ring: {sketch: "( )\\n"}, star: {sketch: " * \\n"}, slotted: {sketch: "|||\\n"}}}
legs:
  {label: Legs, assembly: body, ask: "What does the range stand on?", look: Below the oven., access: photo,
   values: {curved: {}, straight: {}, recess: {}}}
insulation:
  {label: Insulation, assembly: body, ask: "What lies behind the side panel?", look: With the panel off.,
   access: panel_off, values: {air: {}, wool: {}}}
"""

MODELS = """
birds:
  label: Birds
  variants:
    wren: {label: Wren, made: ["1930/1935"], sources: [book]}
    robin: {label: Robin, made: ["1936/1940"], sources: [book]}
    finch: {label: Finch, made: ["1946/1950"], sources: [book]}
    finch_export: {label: Finch Export, made: ["1946/1950"], units: 10, sources: [book]}
"""

TRAITS = "\n".join(
    f"- {{id: {feature}-{variant}, feature: {feature}, of: [{variant}], value: {value}, "
    "certainty: attested, sources: [book]}"
    for feature, values in {
        "door_window": {"wren": "absent", "robin": "absent", "finch": "large", "finch_export": "large"},
        "clock": {"wren": "absent", "robin": "wind_up", "finch": "electric", "finch_export": "electric"},
        "clock_face": {"robin": "black", "finch": "white", "finch_export": "white"},
        "drip_pans": {"wren": "absent", "robin": "present", "finch": "present", "finch_export": "present"},
        "drip_pan_depth": {"robin": "shallow", "finch": "deep", "finch_export": "deep"},
        "burner_head": {"wren": "ring", "robin": "star", "finch": "slotted", "finch_export": "slotted"},
        "legs": {"wren": "curved", "robin": "straight", "finch": "recess", "finch_export": "recess"},
        "insulation": {"wren": "air", "robin": "air", "finch": "air", "finch_export": "wool"},
    }.items()
    for variant, value in values.items()
)


RULES = """
- id: rule-clock
  when: {all: [{clock: electric}, {any: [{drip_pans: present}, {legs: recess}]}]}
  then: [{not_before: "1946", of: electrics}, {feature: clock_face, is: white, how: usually},
         {remark: It needs a lead.}]
  because: The lead came after the war.
  sources: [book]
- id: rule-face
  when: {all: [{clock_face: white}]}
  then: [{rules_out: [wren], of: electrics}, {caution: Mind the lead.}]
  because: No Wren had one.
  sources: ["book:3"]
"""

SPECIMEN = """
id: seen-1
maker: coppice
invented: true
seen: {date: "2019-05", by: collector 1, photos: 3}
known: {variant: finch, made: "1947", basis: [bill of sale]}
observations:
  - {feature: door_window, is: large, original: true}
  - {feature: drip_pan_depth, measured: 31 mm}
  - {feature: clock, removed: true}
"""

CAUTIONS = """
gas: {says: Gas burns. Shut it off., short: Shut the gas off., source: "book, page 3", status: verified}
lead: {says: The lead may be bare., short: Mind the lead., source: book, status: single, when: {clock: electric}}
"""


def write_small_base(root: Path) -> Path:
    """Write the base below `root` and return its folder."""
    folder = root / "base"
    (folder / "coppice" / "specimens").mkdir(parents=True)
    (folder / "reference").mkdir()
    shutil.copy(knowledge_root() / "wording.yaml", folder)
    for name, text in (
        ("assemblies", ASSEMBLIES),
        ("features", FEATURES),
        ("coppice/maker", "id: coppice\nlabel: Coppice Works\ninvented: true\nlife: 1930/1950\n"),
        ("coppice/sources", "book: {kind: ledger, title: Ledger, invented: true}\n"),
        ("coppice/models", MODELS),
        ("coppice/traits", TRAITS + "\n"),
        ("coppice/rules", RULES),
        ("coppice/specimens/seen-1", SPECIMEN),
        ("reference/cautions", CAUTIONS),
    ):
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    return folder
