"""The files of the knowledge base as pydantic models, which reading, checking and editors share."""
