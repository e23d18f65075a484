"""For every test: a busy machine is no fault."""

from hypothesis import HealthCheck, settings

settings.register_profile("whenever", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("whenever")
