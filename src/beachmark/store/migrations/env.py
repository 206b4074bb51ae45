"""Run by Alembic: the migrations go through the connection that `beachmark.store.migrate` hands over.

That connection is already in its transaction, so a migration is done whole or not at all.
"""

from alembic import context

from beachmark.store.tables import metadata

connection = context.config.attributes["connection"]
context.configure(connection=connection, target_metadata=metadata, render_as_batch=connection.dialect.name == "sqlite")
with context.begin_transaction():
    context.run_migrations()
