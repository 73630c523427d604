"""Pages of the answers: thin views over the services that the API calls too."""
