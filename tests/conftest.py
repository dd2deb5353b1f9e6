"""Settings of all tests: the same examples in every run, so that a failure can be met again."""

from hypothesis import settings

settings.register_profile("same", derandomize=True, deadline=None)
settings.load_profile("same")
