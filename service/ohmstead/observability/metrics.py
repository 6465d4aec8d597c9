"""Counts and times for a scraper, in the text form of Prometheus."""

from __future__ import annotations

import os

from prometheus_client import CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.exposition import CONTENT_TYPE_LATEST
from prometheus_client.multiprocess import MultiProcessCollector

_SECONDS = (0.0005, 0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 1.0)


class Metrics:
    """The service's own series. Labels are routes and codes of ours, never text from a request."""

    content_type = CONTENT_TYPE_LATEST

    def __init__(self) -> None:
        self.registry = CollectorRegistry()
        self._requests = Counter(
            "ohmstead_requests", "Requests answered", ("route", "method", "status"), registry=self.registry
        )
        self._seconds = Histogram(
            "ohmstead_request_seconds", "Time to answer", ("route",), buckets=_SECONDS, registry=self.registry
        )
        self._children: dict[tuple[str, str, int], tuple] = {}

    def count(self, route: str, method: str, status: int, seconds: float) -> None:
        """Record one answered request."""
        key = (route, method, status)
        found = self._children.get(key)
        if found is None:  # looking a child up by its labels costs four times the increment
            found = self._children[key] = (
                self._requests.labels(route, method, str(status)),
                self._seconds.labels(route),
            )
        found[0].inc()
        found[1].observe(seconds)

    def page(self) -> bytes:
        """What a scraper reads; of all worker processes when they share a directory."""
        if "PROMETHEUS_MULTIPROC_DIR" in os.environ:
            registry = CollectorRegistry()
            MultiProcessCollector(registry)
            return generate_latest(registry)
        return generate_latest(self.registry)
