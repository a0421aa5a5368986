"""Run migrations on the connection that the caller opened, within its transaction."""

from alembic import context

from leaktrack.store.tables import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    render_as_batch=True,
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
