"""What tests in several rooms share."""

import pytest

from foamcalc.fit import shell


@pytest.fixture
def whole_ends(monkeypatch):
    """Overlays that act right up to their ends, as sections worked out by hand have them."""
    monkeypatch.setattr(shell, "_IDLE", 0.0)
