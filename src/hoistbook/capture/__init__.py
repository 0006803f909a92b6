"""From tables to records and back: workbooks, folders of CSV, templates."""
