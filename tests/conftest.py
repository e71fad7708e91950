"""What several folders of tests share."""

from collections.abc import Iterator

import pytest

from tests.synapse import NotToBeHad, Synapse, serving


@pytest.fixture(scope="session")
def synapse() -> Iterator[Synapse]:
    """A running Matrix server. Its tests carry `xdist_group("synapse")`, so that one worker starts one."""
    try:
        with serving() as server:
            yield server
    except NotToBeHad as reason:
        pytest.skip(f"Synapse cannot be installed here: {reason}")
