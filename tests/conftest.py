"""Settings that every test shares."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

# The same examples on every machine, and no test that fails because a machine is slow.
settings.register_profile("steady", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])
# More of them, other ones each time: pytest --hypothesis-profile=search
settings.register_profile("search", max_examples=2000, deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("steady")
