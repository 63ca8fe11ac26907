"""Where knowledge lies: the shipped base beside the checkout or inside the installed wheel, and the files of a base."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import hobmark

SHIPPED = "shipped"
"""In place of a folder: the base that comes with the program."""
COMMON_FILES = ("wording.yaml", "assemblies.yaml", "features.yaml")
"""The files that stand once, above the makers."""
CAUTIONS = "reference/cautions.yaml"
"""The cautions shown with every answer."""


def knowledge_root(package: Path | None = None) -> Path:
    """The folder of the shipped base, for the package folder `package` (default: the hobmark that is running).

    In an installed wheel it is `hobmark/shipped`; in a checkout it is the top-level `knowledge/`.
    Raises FileNotFoundError where neither stands, which means a broken installation.
    """
    package = package or Path(hobmark.__file__).parent
    for root in (package / "shipped", package.parent.parent / "knowledge"):
        if (root / "features.yaml").is_file():
            return root
    raise FileNotFoundError(f"no knowledge base beside {package}. Install hobmark again.")


def maker_folders(root: Path) -> list[Path]:
    """The folders below `root` that hold a maker, by name."""
    return sorted(path.parent for path in root.glob("*/maker.yaml"))


def knowledge_files(roots: Sequence[Path]) -> list[Path]:
    """Every file that a base read from `roots` depends on, in a fixed order (cases are not among them)."""
    files: list[Path] = []
    for root in roots:
        files += [root / name for name in (*COMMON_FILES, CAUTIONS) if (root / name).exists()]
        for folder in maker_folders(root):
            files += sorted(path for path in folder.iterdir() if path.suffix == ".yaml")
            files += sorted((folder / "specimens").glob("*.yaml"))
    return files
