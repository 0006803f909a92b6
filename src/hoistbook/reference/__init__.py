"""Opens the packaged data and hands it on as core records."""
