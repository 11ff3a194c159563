"""The page: a server on this machine alone; routes that parse a question, ask `app.live`, and give the answer."""
