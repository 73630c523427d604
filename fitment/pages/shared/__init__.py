"""What several pages need: access, addresses, names, the edition."""
