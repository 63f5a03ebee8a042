"""Figures of the dashboard: pure functions from small view records to HTML or to a chart."""
