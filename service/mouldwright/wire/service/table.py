"""Tables that are handed out as files: which there are, and what their columns say."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field


class ColumnAnswer(BaseModel):
    """A column of a table."""

    name: str = Field(description="stays the same from version to version; ends in its unit")
    kind: Literal["text", "whole", "number", "money", "day", "moment", "yes or no"]
    about: str = Field(description="what it says")


class TableAnswer(BaseModel):
    """A table that can be asked for."""

    name: str
    title: str
    about: str = Field(description="what a row of it is")
    columns: list[ColumnAnswer]


class TableList(BaseModel):
    """Every table."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "tables": [
                        {
                            "name": "stock",
                            "title": "Stock",
                            "about": "a lot, as it stands by the log",
                            "columns": [
                                {"name": "amount_g", "kind": "number", "about": "grams left"}
                            ],
                        }
                    ]
                }
            ]
        }
    )

    tables: list[TableAnswer]
