"""Reads a page's form as a browser would send it."""

from __future__ import annotations

from html.parser import HTMLParser


class _Fields(HTMLParser):
    """Gathers the fields of the form with an id."""

    def __init__(self, form_id: str) -> None:
        super().__init__(convert_charrefs=True)
        self.form_id = form_id
        self.fields: list[tuple[str, str]] = []
        self.buttons: list[str] = []
        self._within = False
        self._text: str | None = None
        self._select: str | None = None
        self._chosen: str | None = None

    def handle_starttag(self, tag, attrs):
        found = dict(attrs)
        if tag == "form":
            self._within = found.get("id") == self.form_id
        if not self._within:
            return
        name = found.get("name")
        if tag == "input" and name:
            if found.get("type") == "checkbox" and "checked" not in found:
                return
            self.fields.append((name, found.get("value") or ""))
        elif tag == "button" and name:
            self.buttons.append(found.get("value") or "")
        elif tag == "textarea":
            self.fields.append((name or "", ""))
            self._text = ""
        elif tag == "select":
            self._select, self._chosen = name, None
        elif tag == "option" and self._select and (self._chosen is None or "selected" in found):
            self._chosen = found.get("value") or ""

    def handle_data(self, data):
        if self._text is not None:
            self._text += data

    def handle_endtag(self, tag):
        if tag == "form":
            self._within = False
        elif tag == "textarea" and self._text is not None:
            name, _ = self.fields[-1]
            # A line break right after the tag is none of the text's.
            self.fields[-1] = (name, self._text.removeprefix("\n"))
            self._text = None
        elif tag == "select" and self._select:
            self.fields.append((self._select, self._chosen or ""))
            self._select = None


def form_on(page: str, form_id: str = "entry") -> dict[str, str | list[str]]:
    """Return the fields of a form as shown; several of one name as a list."""
    reader = _Fields(form_id)
    reader.feed(page)
    found: dict[str, str | list[str]] = {}
    for name, value in reader.fields:
        if name in found:
            held = found[name]
            found[name] = [*(held if isinstance(held, list) else [held]), value]
        else:
            found[name] = value
    return found


def buttons_on(page: str, form_id: str = "entry") -> list[str]:
    """Return what the buttons of a form do."""
    reader = _Fields(form_id)
    reader.feed(page)
    return reader.buttons
