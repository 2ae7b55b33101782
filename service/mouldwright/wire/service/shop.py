"""Shops as they are sent and answered."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, model_validator

from mouldwright.wire.bench_test import BenchTest
from mouldwright.wire.material import Material
from mouldwright.wire.mould import MouldFamily
from mouldwright.wire.numbers import wrong
from mouldwright.wire.part import Part
from mouldwright.wire.process import Process
from mouldwright.wire.scenario import Scenario

_SMALLEST = """format = 1
[shop]
name = "My bench"
currency = "EUR"
time_zone = "Europe/Lisbon"
[shop.hours]
mon = ["08:30-17:30"]
"""


class _Sent(BaseModel):
    """A scenario, as TOML or as the same in JSON: one of the two."""

    model_config = ConfigDict(extra="forbid")

    scenario: dict[str, Any] | None = Field(
        default=None,
        description="the keys of the scenario format, as an object",
        json_schema_extra={"type": "object"},
    )
    scenario_toml: str | None = Field(
        default=None, description="the same as TOML text; it may name no files"
    )

    @model_validator(mode="after")
    def _one_of_two(self) -> _Sent:
        if (self.scenario is None) == (self.scenario_toml is None):
            raise wrong("one of scenario and scenario_toml belongs here.", "Send one of them.")
        return self


class ShopAdd(_Sent):
    """A shop to be kept."""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={"examples": [{"key": "my-bench", "scenario_toml": _SMALLEST}]},
    )

    key: str = Field(
        min_length=1,
        max_length=63,
        description="names it for good: small letters, digits and inner hyphens",
    )


class ShopWrite(_Sent):
    """What a shop shall be from now on."""

    model_config = ConfigDict(
        extra="forbid", json_schema_extra={"examples": [{"scenario_toml": _SMALLEST}]}
    )


class ShopSummary(BaseModel):
    """A shop, and which version of it holds."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "key": "my-bench",
                    "title": "My bench",
                    "version": 3,
                    "written_at": "2027-03-01T08:30:00Z",
                }
            ]
        }
    )

    key: str
    title: str
    version: int = Field(description="from 1; its ETag is this number in quotes")
    written_at: datetime


class ShopList(BaseModel):
    """Every shop that the token opens, in order of their keys."""

    shops: list[ShopSummary]


class ShopAnswer(ShopSummary):
    """A shop with all that is written about it."""

    scenario: Scenario


class BenchTestEntry(BaseModel):
    """A bench test by its key."""

    key: str
    bench_test: BenchTest


class BenchTestList(BaseModel):
    """Every bench test, in the order it was written."""

    bench_tests: list[BenchTestEntry]


class PartEntry(BaseModel):
    """A part by its key."""

    key: str
    part: Part


class PartList(BaseModel):
    """Every part, in the order it was written."""

    parts: list[PartEntry]


class ProcessEntry(BaseModel):
    """A process by its key."""

    key: str
    process: Process


class ProcessList(BaseModel):
    """Every process, in the order it was written."""

    processes: list[ProcessEntry]


class MaterialEntry(BaseModel):
    """A material by its key."""

    key: str
    material: Material


class MaterialList(BaseModel):
    """Every material, in the order it was written."""

    materials: list[MaterialEntry]


class MouldEntry(BaseModel):
    """The moulds that serve one part and process, by their key."""

    key: str
    mould: MouldFamily


class MouldList(BaseModel):
    """Every mould family, in the order it was written."""

    moulds: list[MouldEntry]
