"""One file for each sheet: it asks the use cases and hands what they answer to a template."""

from fastapi import APIRouter

from mouldwright.web.pages import (
    access,
    bench,
    bench_tests,
    board,
    board_runs,
    buying,
    day_sheet,
    edit,
    edit_text,
    enquiry,
    find,
    more,
    offer,
    orders,
    quote_links,
    quotes,
    shop_file,
    shop_sheet,
    shops,
    sign_in,
    static,
    today,
    try_order,
    weights,
)

ROUTERS: tuple[APIRouter, ...] = (
    static.router,
    sign_in.router,
    shops.router,
    access.router,
    shop_sheet.router,
    shop_file.router,
    edit.router,
    edit_text.router,
    today.router,
    enquiry.router,
    quotes.router,
    quote_links.router,
    offer.router,
    more.router,
    try_order.router,
    orders.router,
    board_runs.router,
    board.router,
    day_sheet.router,
    bench.router,
    buying.router,
    bench_tests.router,
    weights.router,
    find.router,
)

__all__ = ["ROUTERS"]
