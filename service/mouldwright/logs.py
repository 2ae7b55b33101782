"""What is written down while the service runs: one JSON object a line, on standard error.

Neither a secret nor what a customer is called or asked for belongs in a log. So of an error
its kind and where it arose are noted, and not its words, which may quote what was sent.
"""

from __future__ import annotations

import json
import logging
import sys
import traceback
from datetime import UTC, datetime

from mouldwright.tracing import here

_MOST_FRAMES = 12


class JsonLines(logging.Formatter):
    """Writes a record as one line of JSON; ``extra={"facts": {...}}`` adds to it."""

    def format(self, record: logging.LogRecord) -> str:
        """Return the line."""
        line: dict[str, object] = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "log": record.name,
            "said": record.getMessage(),
        }
        place = here()
        if place is not None:
            line |= {"trace": place.trace, "span": place.span}
        line |= getattr(record, "facts", {})
        if record.exc_info and record.exc_info[1] is not None:
            line |= what_broke(record.exc_info[1])
        return json.dumps(line, ensure_ascii=False, default=str)


def what_broke(error: BaseException) -> dict[str, object]:
    """Return the kind of an error and where it arose, without its words."""
    frames = traceback.extract_tb(error.__traceback__)[-_MOST_FRAMES:]
    return {
        "error": type(error).__name__,
        "frames": [f"{frame.filename}:{frame.lineno} {frame.name}" for frame in frames],
    }


def write_logs(*, requests: bool) -> None:
    """Write everything down from now on.

    Args:
        requests: Whether each request and each run gets a line; what goes wrong always does.
    """
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(JsonLines())
    logging.basicConfig(level=logging.WARNING, handlers=[handler], force=True)
    logging.getLogger("mouldwright").setLevel(logging.INFO if requests else logging.WARNING)
