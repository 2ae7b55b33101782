"""Answer of a command that sets something on paper."""

from __future__ import annotations

from pydantic import BaseModel, Field


class PaperAnswer(BaseModel):
    """What was written."""

    kind: str
    file: str = Field(description="as it was named")
    bytes: int = Field(description="how long the file is")
