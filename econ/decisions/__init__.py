"""Budgets, break-even, floods and what moves the answer."""
