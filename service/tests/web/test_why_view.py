"""What a date's time goes into, as the sheet of an order shows it."""

from mouldwright.planning.reasons import Chain, Explanation, Share
from mouldwright.web.view_models.why import why_view


def test_an_orders_number_is_written_as_it_is():
    chain = Chain(order="1", finish=60, due=None, origin=0, links=())
    why = Explanation(
        chain=chain,
        stretches=(),
        shares=(Share(what="Inês busy with order Q1", minutes=60),),
        headline="",
    )
    figure = why_view(why, "Europe/Lisbon").figure
    assert figure is not None
    assert "Inês busy with order Q1" in str(figure)
