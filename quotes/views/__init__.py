"""Pages of the middle app: business, visits, quotes, the client's own page."""
