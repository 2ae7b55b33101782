"""A shop's mark as it is sent and answered."""

from __future__ import annotations

import base64
import binascii

from pydantic import BaseModel, ConfigDict, Field, model_validator

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.mark import NoMark, mark_of
from mouldwright.wire.numbers import wrong

_SMALL = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><path d="M0 10h40"/></svg>'


class MarkWrite(BaseModel):
    """A drawing that shall be the mark: an SVG, or a PNG that is put within one."""

    model_config = ConfigDict(extra="forbid", json_schema_extra={"examples": [{"svg": _SMALL}]})

    svg: str | None = Field(
        default=None,
        description="text of a plain SVG, its lettering as paths; nothing in it may run or lead "
        "outside",
    )
    png: str | None = Field(default=None, description="the bytes of a PNG in Base64 (RFC 4648)")

    @model_validator(mode="after")
    def _one_of_two(self) -> MarkWrite:
        if (self.svg is None) == (self.png is None):
            raise wrong("one of svg and png belongs here.", "Send one of them.")
        return self

    @classmethod
    def of(cls, file: bytes) -> MarkWrite:
        """Return a file as it is sent: as text where it is any, else as a PNG."""
        try:
            return cls(svg=file.decode("utf-8-sig"))
        except UnicodeDecodeError:
            return cls(png=base64.b64encode(file).decode("ascii"))

    def mark(self) -> str:
        """Return the mark it is. Raises InvalidInput where it is none."""
        name, said = ("svg", self.svg) if self.svg is not None else ("png", self.png or "")
        try:
            if name == "svg":
                return mark_of(said.encode())
            return mark_of(base64.b64decode(said, validate=True))
        except NoMark as no:
            fault = Fault(path=name, value=said[:40], problem=no.problem, remedy=no.remedy)
        except binascii.Error:
            problem, remedy = "this is no Base64.", "Send the bytes of the PNG in Base64."
            fault = Fault(path=name, value=said[:40], problem=problem, remedy=remedy)
        raise InvalidInput([fault])


class MarkAnswer(BaseModel):
    """The mark of a shop, and the version of the shop that has it."""

    model_config = ConfigDict(json_schema_extra={"examples": [{"svg": _SMALL, "version": 4}]})

    svg: str | None = Field(description="the text of an SVG; null where there is none")
    version: int
