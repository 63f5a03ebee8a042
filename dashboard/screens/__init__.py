"""One module a page of the dashboard; each only arranges."""
