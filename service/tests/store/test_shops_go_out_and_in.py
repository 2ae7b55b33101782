"""A whole shop taken out as a scenario and put in again is the same shop."""

from __future__ import annotations

from dataclasses import replace

from house import ROOT
from promise_bench import KEY, NOW, WANTED, freeze

from mouldwright.scenario.demo import demo_names, demo_path
from mouldwright.scenario.read import read_scenario
from mouldwright.usecases.quotes import draft
from mouldwright.usecases.shelf import add, first_version, open_kept, open_whole


def put_in(bench, key: str, shop) -> None:
    first = first_version(key, shop, bench.written.document(shop), now=NOW, by="a test")
    with bench.units.write_house() as house:
        add(house, first, shop.log)
        house.commit()


def quoted(bench, key: str, part: str, process: str | None):
    wanted = replace(WANTED, part=part, process=process, quantity=7)
    made = draft(bench.units, key, wanted, written=bench.written, now=NOW, finish=bench.finish)
    return freeze(made.shop, made.quote)


def test_every_shop_goes_out_as_toml_or_json_and_in_again_to_the_cent(either_bench):
    bench = either_bench
    shops = [demo_path(name) for name in demo_names()]
    shops += [path.parent for path in sorted((ROOT / "scenarios").glob("*/shop.toml"))]
    shops.append(ROOT / "service" / "tests" / "scenario" / "whole_shop.toml")
    assert len(shops) >= 4
    for number, path in enumerate(shops):
        shop = read_scenario(path).shop
        put_in(bench, f"shop-{number}", shop)
        kept = open_whole(bench.units, bench.written, f"shop-{number}").shop
        assert kept == shop
        put_in(bench, f"toml-{number}", bench.written.read_toml(bench.written.toml(kept)))
        put_in(bench, f"json-{number}", bench.written.read(bench.written.whole_document(kept)))
        for way in ("toml", "json"):
            again = open_whole(bench.units, bench.written, f"{way}-{number}").shop
            assert again == shop, (path, way)
    assert shop.log


def test_a_price_is_the_same_after_the_shop_went_out_and_in(either_bench):
    bench = either_bench
    kept = open_kept(bench.units, bench.written, KEY).shop
    put_in(bench, "again", bench.written.read_toml(bench.written.toml(kept)))
    prices = {
        (part.key, process): quoted(bench, KEY, part.key, process)
        for part in kept.parts.values()
        for process in part.made_by
    }
    assert len(prices) >= 4
    assert len(set(prices.values())) == len(prices)
    assert prices == {asked: quoted(bench, "again", *asked) for asked in prices}
