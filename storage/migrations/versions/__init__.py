"""The steps of the schema, in order; a step that was released is never changed."""
