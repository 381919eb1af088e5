"""Pages in HTML: report, card, parts list."""
