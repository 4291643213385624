"""Run the steps of the schema on the connection that `record.migrate` hands in."""

from alembic import context

from rivetwright.record.tables import metadata

connection = context.config.attributes["connection"]
context.configure(
    connection=connection,
    target_metadata=metadata,
    render_as_batch=connection.dialect.name == "sqlite",
    transactional_ddl=True,
)
context.run_migrations()
