"""The pack prints the same bytes, says everything, and can be read by any reader."""

from __future__ import annotations

import logging
from pathlib import Path

import pypdf
import pypdfium2
import pytest

from rivetwright.errors import NotFound
from rivetwright.paper import write_pack
from rivetwright.paper.pack import file_name, typeset
from rivetwright.texts.say import say_finding
from tests.paper.papers import (
    PAPERS,
    SIZES_MM,
    TITLE,
    all_text,
    pack,
    page_texts,
    plan_of,
    reader,
)
from tests.unit.drawing.pictures import DEMO

EVERY = (*DEMO, "many", "hostile")


@pytest.mark.parametrize("name", EVERY)
def test_the_same_plan_prints_the_same_bytes(name: str) -> None:
    """Typeset twice, nothing differs: no clock and no chance gets in."""
    assert typeset(plan_of(name), "letter") == pack(name)


def test_the_file_is_named_by_assembly_and_revision(tmp_path: Path) -> None:
    """It is written whole, beside nothing else."""
    (written,) = write_pack(plan_of("flap"), tmp_path / "out", paper="letter")
    assert written == tmp_path / "out" / "flap-revision-1.pdf"
    assert written.read_bytes() == pack("flap")
    assert list(written.parent.iterdir()) == [written]


def test_an_id_that_is_no_file_name_is_made_one() -> None:
    """A stroke would be a folder."""
    plan = plan_of("hostile").worked.plan
    assert file_name(plan) == "a-b-c-revision-1.pdf"


def test_a_paper_that_is_not_known_is_refused() -> None:
    """Both papers are told."""
    with pytest.raises(NotFound, match="letter or a4"):
        typeset(plan_of("flap"), "a5")  # type: ignore[arg-type]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", EVERY)
def test_readers_open_it_without_a_word(
    name: str, paper: str, caplog: pytest.LogCaptureFixture
) -> None:
    """The strict reader and the renderer both open every page in silence."""
    with caplog.at_level(logging.DEBUG):
        pages = reader(pack(name, paper)).pages
        assert all(page.extract_text() for page in pages)
        document = pypdfium2.PdfDocument(pack(name, paper))
        assert len(document) == len(pages)
        document.close()
    assert caplog.records == []


@pytest.mark.parametrize("paper", PAPERS)
def test_sheets_have_their_size(paper: str) -> None:
    """Lying on their long side, within a tenth of a millimetre."""
    for page in reader(pack("flap", paper)).pages:
        size = [float(side) * 25.4 / 72 for side in page.mediabox[2:]]
        assert size == pytest.approx(SIZES_MM[paper], abs=0.1)


@pytest.mark.parametrize("name", EVERY)
def test_fonts_are_inside(name: str) -> None:
    """Another machine without our letters prints the same page."""
    fonts = [
        font.get_object()
        for page in reader(pack(name)).pages
        for font in page["/Resources"].get("/Font", {}).values()
    ]
    assert fonts
    for font in fonts:
        (descendant,) = font["/DescendantFonts"]
        described = descendant.get_object()["/FontDescriptor"].get_object()
        assert any(key.startswith("/FontFile") for key in described)


def test_the_document_is_tagged() -> None:
    """Title, language, marked structure; every picture is described."""
    opened = reader(pack("aileron"))
    root = opened.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert str(root["/Lang"]).startswith("en")
    assert opened.metadata is not None
    assert opened.metadata.title == "Ostrel Two: Aileron, hole maps and hole table"
    figures = [s for s in structure(root["/StructTreeRoot"]) if s["/S"] == "/Figure"]
    assert len(figures) > 10
    assert all(figure["/Alt"] for figure in figures)


def structure(element: pypdf.generic.DictionaryObject):
    """Every structure element below one."""
    kids = element.get("/K", [])
    for kid in kids if isinstance(kids, list) else [kids]:
        below = kid.get_object()
        if isinstance(below, pypdf.generic.DictionaryObject) and "/S" in below:
            yield below
            yield from structure(below)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", DEMO)
def test_every_page_says_what_it_belongs_to(name: str, paper: str) -> None:
    """Project, assembly, revision, the plan's date, page of pages, no approval."""
    plan = plan_of(name).worked.plan
    pages = page_texts(name, paper)
    for number, text in enumerate(pages, start=1):
        words = " ".join(text.split())
        assert f"{plan.project.name} / {plan.name}" in words
        assert "plan revision 1" in words
        assert "2026-11-25" in words
        assert f"page {number} of {len(pages)}" in words
        assert "This program does not approve anything." in words
        assert "INVENTED demonstration. Do not build from it." in words


@pytest.mark.parametrize("name", DEMO)
def test_everything_known_of_the_rows_is_printed(name: str) -> None:
    """Rows, callouts, parts, steps, findings, open holes, holds and questions."""
    worked_plan = plan_of(name)
    plan = worked_plan.worked.plan
    text = all_text(name)
    expected = [row.name for row in plan.rows] + [part.name for part in plan.parts]
    expected += [str(row.callout) for row in plan.rows]
    expected += [row.step for row in plan.rows]
    expected += [face.title for face in plan.faces]
    for finding in worked_plan.findings:
        words = say_finding(finding, "in")
        expected += [finding.code, words.found, words.do]
    expected += [one.reason for one in (*plan.open_holes, *plan.opening.holds)]
    expected += [one.text for one in plan.opening.questions]
    expected += [plan.rule_sets.head_limits, plan.rule_sets.length_rounding]
    assert [words for words in expected if " ".join(words.split()) not in text] == []


def test_signs_of_markup_are_printed_as_they_are() -> None:
    """Nothing in a name is read as markup; a letter without a font is a box."""
    shown = TITLE.replace("\u4e2d", "\u25a1")
    assert shown in all_text("hostile")
    said = "A letter that the fonts of this paper lack is printed as \u25a1."
    assert said in all_text("hostile")
    assert "fonts of this paper lack" not in all_text("flap")


def test_a_plan_without_a_date_says_so() -> None:
    """Never the clock's."""
    assert "no date in the plan" in page_texts("hostile")[0]


def test_rows_without_places_get_a_strip() -> None:
    """Sixty numbered holes, and the warning that they are not to scale."""
    text = all_text("hostile")
    assert "N1 not to scale" in text
    assert "Rows without places" in text
    assert "Rows without places" not in all_text("flap")
