"""Pages: they ask the services, put the answers on a sheet, and work nothing out themselves."""
