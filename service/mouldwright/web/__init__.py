"""Pages: the same use cases as the API, drawn as sheets that a browser shows, on server side.

What belongs here turns what a use case answers into a page, and a form into what a use case
asks. Rules of the trade, SQL and prices do not. ``bootstrap`` hands the services in.
"""

from mouldwright.web.mount import add_pages

__all__ = ["add_pages"]
