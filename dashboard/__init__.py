"""The dashboard: records, jobs, figures and screens."""
