"""The format's documentation and schema are those of the code that reads it."""

from __future__ import annotations

import json
import re
from pathlib import Path

from mouldwright.scenario.format_tables import documented_models, fill_tables, models_in
from mouldwright.scenario.read import read_scenario_text
from mouldwright.scenario.schema import scenario_schema, schema_text

DOCS = Path(__file__).parents[3] / "docs"
PAGE = (DOCS / "scenario-format.md").read_text(encoding="utf-8")


def test_the_tables_of_the_page_are_those_of_the_models() -> None:
    assert fill_tables(PAGE) == PAGE


def test_every_model_has_its_table_once() -> None:
    assert sorted(models_in(PAGE)) == sorted(documented_models())


def test_every_key_says_what_it_means() -> None:
    for name, table in {"Scenario": scenario_schema(), **scenario_schema()["$defs"]}.items():
        for key, described in table["properties"].items():
            assert described.get("description"), f"{name}.{key}"


def test_the_committed_schema_is_that_of_the_models() -> None:
    assert (DOCS / "scenario.schema.json").read_text(encoding="utf-8") == schema_text()


def test_the_schema_allows_no_unknown_key_anywhere() -> None:
    schema = json.loads(schema_text())
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    tables = [schema, *schema["$defs"].values()]
    assert all(table["additionalProperties"] is False for table in tables)


def test_a_default_in_the_schema_is_of_the_type_it_asks_for() -> None:
    operation = scenario_schema()["$defs"]["Operation"]["properties"]
    assert operation["good_rate"]["default"] == 1
    assert operation["good_rate"]["type"] == "number"
    price = scenario_schema()["$defs"]["Price"]["properties"]
    assert price["least_order"]["default"] == "0"
    assert price["least_order"]["type"] == "string"


def test_the_whole_example_of_the_page_can_be_used() -> None:
    (example,) = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)
    read = read_scenario_text(example)
    assert read.warnings == ()
    # The page says that a process is understood where the part has only one.
    assert read.shop.orders[0].process == "poured"


def test_links_between_tables_lead_to_headings() -> None:
    headings = {line.strip("# ").lower() for line in PAGE.splitlines() if line.startswith("#")}
    for target in re.findall(r"\]\(#([a-z0-9]+)\)", PAGE):
        assert target in headings
