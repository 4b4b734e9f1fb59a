"""Random tests here have no deadline: how long a drawing takes on a busy machine proves nothing."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

settings.register_profile("unhurried", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("unhurried")
