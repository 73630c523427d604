"""Who asks: accounts, roles, tokens, signing in; the pages and the administration of accounts."""
