"""Where the shipped knowledge lies: beside the checkout, or inside the installed wheel."""

from __future__ import annotations

from pathlib import Path

import hobmark


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
