"""Answer of the command that reads and puts a shop's mark."""

from __future__ import annotations

from pydantic import BaseModel, Field


class ScenarioMarkAnswer(BaseModel):
    """A mark, and the file it was written to."""

    svg: str | None = Field(description="the text of an SVG; null where there is none")
    file: str | None = Field(description="null where nothing was written")
