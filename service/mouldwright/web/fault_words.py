"""What is wrong, in the words of the forms, with where to put it right."""

from __future__ import annotations

import re
from dataclasses import dataclass

from mouldwright.domain.errors import Fault
from mouldwright.web.edit_sections import SECTIONS
from mouldwright.web.labels import label_of, path_label
from mouldwright.web.places import shop_path
from mouldwright.wire.model import title_from

_KEY = re.compile(r"\b[a-z]+(?:_[a-z0-9]+)+\b")


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultLine:
    """One fault as a page says it.

    Attributes:
        at: Address of the field where it is put right; empty where there is none.
        field: What that field is called.
    """

    sentence: str
    at: str = ""
    field: str = ""


def in_form_words(sentence: str) -> str:
    """Return a sentence whose keys of the format read as what stands above their fields."""
    return _KEY.sub(lambda key: f"“{label_of(key[0]).lower()}”", sentence)


def fault_line(shop: str, fault: Fault) -> FaultLine:
    """Return a fault of a shop's entry in words, and the field to put it right in."""
    said = in_form_words(f"{fault.problem} {fault.remedy}".strip())
    section, _, rest = fault.path.partition(".")
    key, _, field = rest.partition(".")
    held = SECTIONS.get(section)
    if held is None or held.is_single or not key or "[" in field:
        return FaultLine(sentence=in_form_words(str(fault)))
    what = path_label(field) if field else ""
    lead = f"{title_from(key)}, {what[:1].lower()}{what[1:]}" if what else title_from(key)
    return FaultLine(
        sentence=f"{lead}: {said}",
        at=shop_path(shop, f"edit/{section}/{key}") + (f"#f-{field}" if field else ""),
        field=what or title_from(key),
    )
