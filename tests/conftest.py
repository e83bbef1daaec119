"""What every test has: a user's folder of its own, so that no test touches a real shop file."""

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile("steady", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("steady")


@pytest.fixture(scope="session", autouse=True)
def _own_shop_for_notebooks(tmp_path_factory):
    """Notebook kernels and other children of the test run take the folder from its environment."""
    patch = pytest.MonkeyPatch()
    patch.setenv("SPRINGPASS_SHOP", str(tmp_path_factory.mktemp("shop")))
    patch.setenv("PYTHONUTF8", "1")   # what a child prints is read as UTF-8 on every system
    yield
    patch.undo()
