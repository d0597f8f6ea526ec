"""A syrup's strength batch by batch: what it says first, then the drawing, then every batch in a table."""

from __future__ import annotations

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from balancer.desk.desk import Desk
from balancer.engine.prep.chart import Chart, chart
from balancer.models.days import day_text
from balancer.models.look import ENGLISH
from balancer.models.syrup import Syrup
from balancer.output.paper.chart import notes_text
from balancer.output.paper.chart_words import sentence
from balancer.output.paper.language import words_of
from balancer.output.screen.chart import numbers_rows
from balancer.output.words.numbers import trim
from balancer.web.house import sorted_by_name
from balancer.web.plot import plot
from balancer.web.render import begun, show


def _list(request: Request) -> Response:
    desk: Desk = request.app.state.house.desk()
    found = sorted((charted(desk, syrup) for syrup in sorted_by_name(desk.specs.syrups)), key=_has_nothing)
    return show(
        request,
        "charts.html",
        house=desk.house.name,
        at=desk.at,
        title="Syrups batch by batch",
        read=[(one.syrup, sentence(one, words_of(ENGLISH))) for one in found if one.points],
        unread=[one.syrup for one in found if not one.points],
    )


def _has_nothing(result: Chart) -> int:
    """What the order of the list goes by: those first that something was found of, those last that are too few."""
    if result.word == "too few":
        return 2
    return 1 if result.word == "steady" and not result.outside else 0


def charted(desk: Desk, syrup: Syrup) -> Chart:
    """A syrup's chart, as `chart` asks it."""
    return chart(syrup, desk.batches, desk.house.batch_tolerance)


def _page(request: Request) -> Response:
    desk: Desk = request.app.state.house.desk()
    syrup = desk.specs.syrups.get(request.path_params["syrup"])
    if syrup is None:
        raise HTTPException(404)
    result = charted(desk, syrup)
    words = words_of(ENGLISH)
    said = sentence(result, words)
    return show(
        request,
        "chart.html",
        house=desk.house.name,
        at=desk.at,
        title=f"{syrup.name}: batch by batch",
        syrup=syrup,
        said=f"{begun(said)}.",
        numbers=numbers_rows(result),
        notes=notes_text(result, words),
        plot=plot(result),
        rows=[
            (
                point.batch,
                trim(point.brix, 1),
                day_text(point.made, desk.today) if point.made else "not logged",
                point.by or "not logged",
                point.cause or "",
                point.is_outside,
            )
            for point in reversed(result.points)
        ],
    )


ROUTES = (Route("/chart", _list), Route("/chart/{syrup}", _page))
