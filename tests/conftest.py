"""What every test shares: quiet libraries, and a place for what the web page keeps for a while."""

from __future__ import annotations

import os
import tempfile

from hypothesis import HealthCheck, settings

# Read when gradio is imported, so they must stand before any test module is.
os.environ["GRADIO_ANALYTICS_ENABLED"] = "False"
os.environ["GRADIO_TEMP_DIR"] = tempfile.mkdtemp(prefix="seamlight-tests-")
os.environ["NO_PROXY"] = os.environ["no_proxy"] = "127.0.0.1,localhost"
# No test may see or touch the stash of the person who runs it.
os.environ["SEAMLIGHT_STASH"] = os.path.join(os.environ["GRADIO_TEMP_DIR"], "stash.sqlite")  # noqa: PTH118

# A busy machine is no fault of the code. Where a run decides (CI), the same cases are tried every time.
settings.register_profile(
    "seamlight",
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    derandomize=bool(os.environ.get("CI")),
)
settings.load_profile("seamlight")
