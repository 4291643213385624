"""The glossary: every word of the bench, as docs/words.md defines it."""

from __future__ import annotations

from pathlib import Path

from fastapi import APIRouter, Request, Response
from markdown_it import MarkdownIt
from markupsafe import Markup

import rivetwright
from rivetwright.errors import NotFound
from rivetwright.web.pages.show import show

router = APIRouter()
WORDS = Path(rivetwright.__file__).parents[2] / "docs" / "words.md"


def rendered(text: str) -> Markup:
    """Our own Markdown as HTML; HTML written in it stays text."""
    reader = MarkdownIt("commonmark", {"html": False}).enable("table")
    return Markup(reader.render(text))


@router.get("/words")
def words_show(request: Request) -> Response:
    """The glossary, or where it would be."""
    if not WORDS.is_file():
        raise NotFound(
            asked="open the words",
            found="this installation without its docs folder",
            allowed="the project's own folder, which holds docs/words.md",
            do="run the program from the project's folder",
        )
    words = rendered(WORDS.read_text(encoding="utf-8"))
    return show(request, "words.html", here="/words", words=words)
