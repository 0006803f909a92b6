"""What the pages show, as plain data: kept results, rows of the record, and where in them the reader is."""
