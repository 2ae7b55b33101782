from datetime import date
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.costing.stock_need import shortages
from mouldwright.domain.material import Lot, Stock

STOCK = Stock(
    lots={
        "part-a": (Lot(material="part-a", grams=Decimal(900)),),
        "part-b": (
            Lot(material="part-b", grams=Decimal(100), expires=date(2027, 3, 1)),
            Lot(material="part-b", grams=Decimal(187), expires=date(2027, 9, 1)),
        ),
        "rod": (Lot(material="rod", metres=Decimal(4)),),
    }
)


def test_hardener_13_grams_short_is_said_although_there_is_resin_enough() -> None:
    drawn = {("part-a", "g"): Fraction(800), ("part-b", "g"): Fraction(300)}
    (short,) = shortages(drawn, STOCK, on=date(2027, 3, 1))
    assert (short.material, short.missing) == ("part-b", 13)


def test_a_lot_is_good_on_its_last_day_and_not_after() -> None:
    drawn = {("part-b", "g"): Fraction(287)}
    assert shortages(drawn, STOCK, on=date(2027, 3, 1)) == ()
    assert shortages(drawn, STOCK, on=date(2027, 3, 2))[0].usable == 187


def test_metres_are_counted_apart_from_grams() -> None:
    drawn = {("rod", "m"): Fraction(9, 2), ("wax", "g"): Fraction(1)}
    found = shortages(drawn, STOCK, on=date(2027, 3, 1))
    assert [(s.material, s.missing) for s in found] == [("rod", Fraction(1, 2)), ("wax", 1)]
