"""Many sites: the same entries on PostgreSQL; a shop with one computer needs nothing of it."""
