"""Run migrations on the connection that the caller opened, with foreign keys off."""

from alembic import context

from leaktrack.store.tables import metadata

connection = context.config.attributes["connection"]
context.configure(connection=connection, target_metadata=metadata, render_as_batch=True)
with context.begin_transaction():
    context.run_migrations()
