"""One module a question: picks a site's numbers, calls the physics, judges what comes out."""
