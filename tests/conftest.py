"""How generated examples are drawn: the same ones in every run, and never judged by a clock."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

LOADED_MACHINE = [HealthCheck.too_slow]
"""Checks of speed, which a busy machine fails whatever the code does."""

settings.register_profile("same", deadline=None, derandomize=True, suppress_health_check=LOADED_MACHINE)
settings.register_profile("search", deadline=None, suppress_health_check=LOADED_MACHINE)
settings.load_profile("same")
