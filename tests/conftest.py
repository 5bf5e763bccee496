"""Settings for all tests: how many random examples hypothesis draws.

`TWOTHIRDS_TESTS=thorough pytest ...` runs thousands a test, `TWOTHIRDS_TESTS=quick` a handful,
`TWOTHIRDS_TESTS=500` so many. The first and the last draw anew every time; the default is
derandomized, so that a run says the same twice.
"""

import os
import signal
import sys
from contextlib import suppress
from pathlib import Path

from hypothesis import HealthCheck, settings

sys.path.insert(0, str(Path(__file__).parent))  # oracle, strategies, bayesnet

# A shell that starts tests in the background lets them, and what they start, ignore Ctrl-C.
if signal.getsignal(signal.SIGINT) == signal.SIG_IGN:
    with suppress(ValueError):  # not in the main thread
        signal.signal(signal.SIGINT, signal.default_int_handler)

COMMON = {
    "deadline": None,
    "suppress_health_check": [
        HealthCheck.too_slow,
        HealthCheck.data_too_large,
        HealthCheck.filter_too_much,
    ],
}
settings.register_profile("quick", max_examples=20, derandomize=True, **COMMON)
settings.register_profile("default", max_examples=120, derandomize=True, **COMMON)
settings.register_profile("thorough", max_examples=3000, print_blob=True, **COMMON)
PROFILE = os.environ.get("TWOTHIRDS_TESTS", "default")
if PROFILE.isdigit():
    settings.register_profile(PROFILE, max_examples=int(PROFILE), print_blob=True, **COMMON)
settings.load_profile(PROFILE)
