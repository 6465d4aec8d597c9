"""What holds for every test: a busy machine is slow, and that is no fault of what is tested."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

settings.register_profile("any-machine", settings(), deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("any-machine")
