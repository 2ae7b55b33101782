"""Every form that a page shows, as a browser would send it, and what a page would do by itself."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import urljoin, urlsplit


@dataclass
class Form:
    """A form of a page.

    Attributes:
        action: Path it is sent to.
        fields: Names and values as shown; each name as often as it stands there.
        files: Names of the fields that take a file.
    """

    action: str
    fields: list[tuple[str, str]] = field(default_factory=list)
    files: list[str] = field(default_factory=list)
    is_posted: bool = True


@dataclass
class Page:
    """What a page holds.

    Attributes:
        forms: Those that are posted.
        links: Paths of this site that it leads to.
        armed: Whatever a browser would run, or load from elsewhere.
    """

    forms: list[Form] = field(default_factory=list)
    links: set[str] = field(default_factory=set)
    armed: list[str] = field(default_factory=list)


_CARRIES_ADDRESS = {"href", "src", "action", "formaction", "data", "xlink:href", "poster"}


class _Reader(HTMLParser):
    def __init__(self, path: str) -> None:
        super().__init__(convert_charrefs=True)
        self.page = Page()
        self._path = path
        self._form: Form | None = None
        self._by_id: dict[str, Form] = {}
        self._text: list[str] | None = None
        self._select: str | None = None
        self._chosen: str | None = None
        self._filled: tuple[Form, str] = (Form(""), "")

    def handle_starttag(self, tag, attrs):
        found = {name: value or "" for name, value in attrs}
        self._arms(tag, found)
        if tag == "a" and found.get("href", "").startswith(("/", "?")):
            self.page.links.add(urljoin(self._path, found["href"].split("#")[0]))
        if tag == "form":
            self._form = Form(urlsplit(urljoin(self._path, found.get("action", ""))).path)
            self._by_id[found.get("id", "")] = self._form
            self._form.is_posted = found.get("method", "").lower() == "post"
            if self._form.is_posted:
                self.page.forms.append(self._form)
        name = found.get("name", "")
        form = self._by_id.get(found.get("form", ""), self._form)
        if form is None:
            return
        if tag == "button" and "formaction" in found and form.is_posted:
            self.page.forms.append(Form(found["formaction"], form.fields, form.files))
        if tag == "input" and name:
            if found.get("type") == "file":
                form.files.append(name)
            else:
                form.fields.append((name, found.get("value", "")))
        elif tag == "button" and name:
            form.fields.append((name, found.get("value", "")))
        elif tag == "textarea":
            self._text, self._filled = [], (form, name)
        elif tag == "select":
            self._select, self._chosen, self._filled = name, None, (form, name)
        elif tag == "option" and self._select and (self._chosen is None or "selected" in found):
            self._chosen = found.get("value", "")

    def _arms(self, tag, found):
        for name, value in found.items():
            at = f"<{tag} {name}={value!r}>"
            if name.startswith("on") or name == "srcdoc":
                self.page.armed.append(at)
            if name == "style":
                self.page.armed.append(at)
            if name in _CARRIES_ADDRESS:
                split = urlsplit(value.strip())
                harmless = split.scheme in ("", "mailto") and not split.netloc
                if not (harmless or value.startswith(("data:image/png", "data:image/svg+xml"))):
                    self.page.armed.append(at)
        if tag in ("iframe", "object", "embed", "base") or (
            "http-equiv" in found and not found.get("content", "").isdigit()
        ):
            self.page.armed.append(f"<{tag} {found}>")
        if tag == "script" and not found.get("src", "").startswith("/static/"):
            self.page.armed.append("<script>")

    def handle_data(self, data):
        if self._text is not None:
            self._text.append(data)

    def handle_endtag(self, tag):
        if tag == "form":
            self._form = None
        elif tag == "textarea" and self._text is not None:
            form, name = self._filled
            form.fields.append((name, "".join(self._text).removeprefix("\n")))
            self._text = None
        elif tag == "select" and self._select:
            form, name = self._filled
            form.fields.append((name, self._chosen or ""))
            self._select = None


def read_page(text: str, path: str) -> Page:
    """Return what a page holds that was opened at a path."""
    reader = _Reader(path)
    reader.feed(text)
    reader.close()
    return reader.page
