"""Show findings and measurements to people and to programs, without deciding anything."""
