"""How the parts are put together: settings, addresses, the database, the processes."""
