"""What schemathesis has to know of this interface beyond its document."""

import schemathesis


@schemathesis.serializer("application/jsonl")
def lines(_context, value):
    """A job that was exported goes as text, whatever stands in it."""
    return str(value).encode(errors="replace")
