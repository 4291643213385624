"""A copy of the invented demo to work in, so that the examples stay as they are."""

from __future__ import annotations

import shutil
from pathlib import Path

from rivetwright.bench.open import ENDINGS
from rivetwright.errors import Refusal


def copy_demo(examples: Path, folder: Path) -> list[Path]:
    """Copy the demo's files that a folder does not have yet.

    A file that is there stays as it is: somebody may be working in it.

    Args:
        examples: folder of the demo as it came.
        folder: folder to work in; made where it is missing.

    Returns:
        The files that were copied.

    Raises:
        Refusal: there is no demo to copy.
    """
    files = sorted(path for path in examples.glob("*") if path.suffix in ENDINGS)
    if not files:
        raise Refusal(
            asked="copy the demo",
            found=f"no plan files in {examples}",
            allowed="the folder examples/ostrel of this project",
            do="run it in the project's folder, or name the demo with --from",
        )
    folder.mkdir(parents=True, exist_ok=True)
    missing = [path for path in files if not (folder / path.name).exists()]
    for path in missing:
        shutil.copyfile(path, folder / path.name)
    return [folder / path.name for path in missing]
