"""The contract over HTTP."""
