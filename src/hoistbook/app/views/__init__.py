"""One function per page: read the request, ask the services, put the answer on a sheet."""
