"""The one reader: database -> frozen facts for the rules."""
