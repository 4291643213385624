"""Stock: every code, one code with its steps, and the order list."""

from __future__ import annotations

from typing import Any

from anyio.to_thread import run_sync
from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse

from rivetwright.bench.stock import Stock, stock_of, weight_of
from rivetwright.bench.stock_result import as_csv
from rivetwright.errors import NotFound, nearest_hint
from rivetwright.record.devices import READS
from rivetwright.texts.stock_words import (
    doubt_of,
    order_cells,
    order_heading,
    say_arrivals,
    say_bite,
    say_doubted,
    say_kit,
    say_on_hand,
    say_order_by,
    say_piece,
    say_stand_ins,
    say_unknown,
)
from rivetwright.web.addresses import stock_address
from rivetwright.web.bench_view import fresh_id
from rivetwright.web.form_marks import take_form
from rivetwright.web.pages.air import project_notes
from rivetwright.web.pages.api import workshop_of
from rivetwright.web.pages.show import show
from rivetwright.web.senders import sender_of
from rivetwright.web.stock_lines import (
    LEAST_SAMPLE,
    holder_lines,
    wanted_lines,
    weighed,
)

router = APIRouter()
HERE = "/stock"


def _shown(request: Request, template: str, stock: Stock, **values: Any) -> Response:
    """A page about stock: what all of them show."""
    opened = workshop_of(request).now()
    return show(
        request,
        template,
        here=HERE,
        opened=opened,
        notes=project_notes(opened),
        stock=stock,
        arrivals=say_arrivals,
        bite=lambda one: say_bite(stock, one),
        doubted=say_doubted,
        on_hand=say_on_hand,
        order_by=lambda line: say_order_by(stock, line),
        stand_ins=lambda need: say_stand_ins(need, stock.stand_ins(need)),
        doubt_of=doubt_of,
        **values,
    )


@router.get("/stock")
def stock_show(request: Request) -> Response:
    """Every code: needed, there, short."""
    stock = stock_of(workshop_of(request))
    return _shown(
        request,
        "stock.html",
        stock,
        unknown=[say_unknown(stock, one) for one in stock.unknown],
        kits=list(map(say_kit, stock.kits)),
        holders=holder_lines(stock, request.app.state.renderer.say),
    )


@router.get("/stock/order")
def order_show(request: Request) -> Response:
    """The order list, for the screen and for paper."""
    stock = stock_of(workshop_of(request))
    unknown = [say_unknown(stock, one) for one in stock.unknown]
    return _shown(request, "stock_order.html", stock, unknown=unknown)


@router.get("/stock/order.csv")
def order_csv(request: Request) -> Response:
    """The order list as a table for a spreadsheet."""
    stock = stock_of(workshop_of(request))
    lines = [order_cells(stock, line) for line in stock.orders]
    name = f"order-{stock.today.isoformat()}.csv"
    return Response(
        as_csv(order_heading(), lines),
        media_type="text/csv; charset=utf-8",
        headers={"content-disposition": f'attachment; filename="{name}"'},
    )


@router.get("/stock/code/{code}")
def code_show(request: Request, code: str) -> Response:
    """One code: reserved by step, in the drawer, weighed, written down.

    Raises:
        NotFound: no such code.
    """
    workshop = workshop_of(request)
    stock = stock_of(workshop)
    need = stock.need(code)
    if need is None:
        codes = [one.code for one in stock.needs]
        raise NotFound(
            asked=f"show the stock of {code[:60]}",
            found="no plan that calls for it, and no count of it",
            allowed="a code of the page Stock" + nearest_hint(code, codes),
            do="choose one on the page Stock",
        )
    say = request.app.state.renderer.say
    return _shown(
        request,
        "stock_code.html",
        stock,
        need=need,
        lines=wanted_lines(stock, need),
        piece=say_piece(weight_of(code)),
        weighed=weighed(code, request.query_params, say),
        least_sample=LEAST_SAMPLE,
        may_mark=stock.has_record and sender_of(request).role != READS,
        position=workshop.position(),
        fresh_id=fresh_id,
    )


@router.post("/stock/code/{code}/mark")
async def code_mark(request: Request, code: str) -> Response:
    """Take a count, an order or an arrival from a form, and show the code again.

    Raises:
        Refusal: the mark was not taken; the page of it says why.
    """
    workshop, sender = workshop_of(request), sender_of(request)
    form = await request.form()
    refusal = await run_sync(take_form, workshop, sender, "", form)
    if refusal is not None:
        raise refusal
    return RedirectResponse(stock_address(code), status_code=303)
