"""How the service is."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field


class HealthAnswer(BaseModel):
    """The service runs and its store answers."""

    model_config = ConfigDict(
        json_schema_extra={"examples": [{"status": "ok", "version": "0.1.0"}]}
    )

    status: Literal["ok"]
    version: str = Field(description="of the program")
