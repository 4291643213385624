"""Options that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

Folder = Annotated[
    Path, typer.Argument(help="Folder with plan files.", metavar="FOLDER")
]
Database = Annotated[
    str,
    typer.Option(
        help="Address of a PostgreSQL database, where the record is there.",
        metavar="URL",
    ),
]
