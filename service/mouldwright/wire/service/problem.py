"""The one shape of every error (RFC 9457)."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field


class ProblemItem(BaseModel):
    """One thing that is wrong in what was sent."""

    detail: str = Field(description="what is wrong, in one sentence")
    remedy: str = Field(description="what would be right")
    value: str = Field(description="the value found, empty where a key is missing")
    path: str = Field(description="the key, as the scenario format writes it")
    pointer: str | None = Field(description="JSON pointer into the body, null outside of it")
    parameter: str | None = Field(description="name in the path or query, null outside of them")
    line: int | None = Field(description="line of a scenario sent as TOML")


class Problem(BaseModel):
    """Why it was not done."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "type": "/v1/problems/invalid",
                    "title": "What was sent cannot be right",
                    "status": 422,
                    "detail": "shop.currency = EURO: a currency is three capital letters.",
                    "errors": [
                        {
                            "detail": "a currency is three capital letters.",
                            "remedy": "Write EUR.",
                            "value": '"EURO"',
                            "path": "shop.currency",
                            "pointer": "#/scenario/shop/currency",
                            "parameter": None,
                            "line": None,
                        }
                    ],
                }
            ]
        }
    )

    type: str = Field(description="address of what this kind of problem means")
    title: str = Field(description="the kind in words")
    status: int
    detail: str
    errors: list[ProblemItem] = Field(description="each thing that is wrong; may be empty")


class ProblemKind(BaseModel):
    """What a kind of problem means."""

    type: str
    title: str
    status: int
    meaning: str


class ProblemKinds(BaseModel):
    """Every kind of problem."""

    problems: list[ProblemKind]
