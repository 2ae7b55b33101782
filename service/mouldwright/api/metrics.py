"""Figures on the service itself, in the text form that Prometheus reads."""

from __future__ import annotations

from datetime import datetime

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, generate_latest

from mouldwright.usecases.diagnosis import Work

MEDIA_TYPE = "text/plain; version=0.0.4; charset=utf-8"

_METHODS = {"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"}
# From a stored answer to a question that is planned.
_SECONDS = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0, 30.0)
_RUNS = {
    "waiting": "Runs that no worker has taken up yet.",
    "waiting_longest_seconds": (
        "How long the one that waits longest has been waiting; 0 where none waits."
    ),
    "running": "Runs in the hands of a worker that shows signs of life.",
    "lapsed": "Runs left by a worker that shows none any more, until the next one takes them up.",
    "set_aside": "Runs that failed too often, or were over their caps.",
}


class Metrics:
    """Counts and times requests by the pattern of their address, never by the address."""

    def __init__(self) -> None:
        """Begin at nothing, apart from any other application in this process."""
        self._registry = CollectorRegistry()
        self._requests = Counter(
            "mouldwright_requests",
            "Requests answered.",
            ("method", "route", "status"),
            registry=self._registry,
        )
        self._seconds = Histogram(
            "mouldwright_request_seconds",
            "Time from a request to the end of its answer.",
            ("route",),
            buckets=_SECONDS,
            registry=self._registry,
        )
        self._open = Gauge(
            "mouldwright_requests_open", "Requests being worked on.", registry=self._registry
        )

        self._runs = {
            name: Gauge(f"mouldwright_runs_{name}", meaning, registry=self._registry)
            for name, meaning in _RUNS.items()
        }

    def begun(self) -> None:
        """Note that a request came."""
        self._open.inc()

    def ended(self, method: str, route: str | None, status: int, seconds: float) -> None:
        """Note how a request ended."""
        named = route or "none"
        self._open.dec()
        # A method is whatever the caller writes: a line each would fill the memory.
        known = method if method in _METHODS else "other"
        self._requests.labels(known, named, str(status)).inc()
        self._seconds.labels(named).observe(seconds)

    def text(self, work: Work, *, now: datetime) -> bytes:
        """Return all of it.

        Args:
            work: How the runs of all shops stand.
            now: When that was so.
        """
        since = work.waiting.since
        waited_s = 0.0 if since is None else max(0.0, (now - since).total_seconds())
        figures = {
            "waiting": work.waiting.runs,
            "waiting_longest_seconds": waited_s,
            "running": work.held,
            "lapsed": work.lapsed,
            "set_aside": work.set_aside,
        }
        for name, gauge in self._runs.items():
            gauge.set(figures[name])
        return generate_latest(self._registry)
