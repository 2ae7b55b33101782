"""What drawn examples may take: a slow machine is no fault of what is tested."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

settings.register_profile(
    "unhurried", settings(), deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("unhurried")
