"""Packs to look at, and ways to look at a PDF as a reader does."""

from __future__ import annotations

import io
from functools import cache

import numpy as np
import pypdf
import pypdfium2
from numpy.typing import NDArray

from benchmarks.plans import made_up_plan
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.intake.plan_file import read_plan_text
from rivetwright.paper.pack import typeset
from tests.unit.drawing.pictures import demo

PAPERS = ("letter", "a4")
# Width and height of the sheets lying on their long side [mm].
SIZES_MM = {"letter": (279.4, 215.9), "a4": (297.0, 210.0)}
Picture = NDArray[np.uint8]
Box = tuple[float, float, float, float]

# Names as long as the file allows, with every sign that a template might read,
# letters that no font has, a face without outlines and a row without places.
TITLE = "*bold* _em_ #let x = 1 `code` @ref <label> // $x$ \\\\ [b] {c} %s &amp; \u4e2d"
HOSTILE = f"""
format: rivetwright plan 1
project: {{id: 3d1f7a52-6c0e-4b8e-9a41-7be0c2d5f018, name: '{TITLE}'}}
assembly: {{id: a/b+c, name: '{"A very long assembly name that goes on " * 4}'}}
unit: mm
note: '{TITLE} {"note " * 60}'
parts:
  AB-12345678901234567890123456789012345:
    {{title: '{"Donaudampfschifffahrtsgesellschaftskapitaen " * 3}', thickness: 0.8,
     material: '{"alclad " * 8}'}}
  P2: {{title: '{TITLE}', thickness: 1.0}}
faces:
  FACE-WITH-A-VERY-LONG-NAME-THAT-NEVER:
    title: '{"long title " * 18}'
    axis_u: '{"along " * 33}'
    side_seen: '{"from somewhere " * 13}'
    edges: {{u0: '{"an extremely long edge name " * 5}', v0: '{TITLE}'}}
    layers:
      - {{part: AB-12345678901234567890123456789012345, u: [0, 120], v: [0, 15]}}
      - {{part: P2, u: [0, 120], v: [0, 15]}}
  BARE: {{title: no outlines at all}}
rows:
  ROW-WITH-A-VERY-LONG-NAME-1234567890123:
    {{face: FACE-WITH-A-VERY-LONG-NAME-THAT-NEVER, at: [8, 7.5], by: [15, 0], count: 8,
     stack: [AB-12345678901234567890123456789012345, P2], callout: MS20470AD4-4,
     step: step-with-a-very-long-name-1234567890}}
  B1: {{face: BARE, at: [0, 0], by: [20, 0], count: 3, stack: [P2, P2],
       callout: MS20470AD4-4, step: step-with-a-very-long-name-1234567890}}
  N1: {{count: 60, stack: [P2, AB-12345678901234567890123456789012345],
       callout: MS20470AD4-4, step: step-with-a-very-long-name-1234567890}}
steps:
  step-with-a-very-long-name-1234567890: {{title: '{TITLE}'}}
"""


@cache
def plan_of(name: str) -> WorkedPlan:
    """A plan to print: a demo assembly, 500 holes on one face, hostile names."""
    if name == "many":
        return work_out(made_up_plan(500, outlines=5))
    if name == "hostile":
        return work_out(read_plan_text(HOSTILE))
    return demo(name)


@cache
def pack(name: str, paper: str = "letter") -> bytes:
    """The PDF of a plan, typeset once."""
    return typeset(plan_of(name), paper)  # type: ignore[arg-type]


def reader(pdf: bytes) -> pypdf.PdfReader:
    """A PDF opened by the strict reader: every irregularity raises."""
    return pypdf.PdfReader(io.BytesIO(pdf), strict=True)


@cache
def page_texts(name: str, paper: str = "letter") -> tuple[str, ...]:
    """The words of each page, breaks inside words taken out."""
    pages = reader(pack(name, paper)).pages
    return tuple(page.extract_text().replace("\u200b", "") for page in pages)


def all_text(name: str, paper: str = "letter") -> str:
    """All words of a PDF, every run of spaces as one."""
    return " ".join(" ".join(page_texts(name, paper)).split())


def rasters(
    pdf: bytes, dots_a_mm: float, pages: list[int] | None = None
) -> list[Picture]:
    """Pages as pictures, shape (height, width, 3), red first."""
    document = pypdfium2.PdfDocument(pdf)
    wanted = range(len(document)) if pages is None else pages
    scale = dots_a_mm * 25.4 / 72
    drawn = [document[k].render(scale=scale, rev_byteorder=True) for k in wanted]
    pictures = [np.array(one.to_numpy()) for one in drawn]
    document.close()
    return pictures


def text_boxes(pdf: bytes, pages: list[int]) -> list[list[tuple[Box, str]]]:
    """Pieces of text of some pages: left, bottom, right, top in points, and words."""
    document = pypdfium2.PdfDocument(pdf)
    found = []
    for k in pages:
        text = document[k].get_textpage()
        rects = [text.get_rect(n) for n in range(text.count_rects())]
        found.append([(rect, text.get_text_bounded(*rect)) for rect in rects])
    document.close()
    return found
