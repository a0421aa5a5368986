"""Records in memory: as fast as a fake, but the real thing."""

from collections.abc import Iterator
from typing import Any

import pytest
import sqlalchemy as sa

from leaktrack.store.records import Records
from leaktrack.store.tables import metadata


@pytest.fixture
def connection() -> Iterator[sa.Connection]:
    engine = sa.create_engine("sqlite://")

    @sa.event.listens_for(engine, "connect")
    def _on_connect(opened: Any, _record: object) -> None:
        opened.execute("PRAGMA foreign_keys=ON")

    with engine.connect() as connection:
        metadata.create_all(connection)
        yield connection
    engine.dispose()


@pytest.fixture
def records(connection: sa.Connection) -> Records:
    return Records(connection)
