"""Figures on the service itself, in the text form that Prometheus reads."""

from __future__ import annotations

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, generate_latest

MEDIA_TYPE = "text/plain; version=0.0.4; charset=utf-8"

_METHODS = {"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"}
# From a stored answer to a question that is planned.
_SECONDS = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0, 30.0)


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

        self._waiting = Gauge(
            "mouldwright_runs_waiting",
            "Runs that no worker has taken up yet.",
            registry=self._registry,
        )
        self._longest_wait = Gauge(
            "mouldwright_runs_waiting_longest_seconds",
            "How long the one that waits longest has been waiting; 0 where none waits.",
            registry=self._registry,
        )

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

    def text(self, *, waiting: int, longest_wait_s: float) -> bytes:
        """Return all of it.

        Args:
            waiting: Runs that no worker has taken up yet.
            longest_wait_s: How long the oldest of them has been waiting, seconds.
        """
        self._waiting.set(waiting)
        self._longest_wait.set(longest_wait_s)
        return generate_latest(self._registry)
