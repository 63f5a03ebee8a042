"""The script the server runs for every window; all it does is in dashboard/app.py.

It lies in a folder of its own because Streamlit takes a folder called "pages" beside its script for
scripts to run one by one, and would do so for whoever opens the address of a page first.
"""

from __future__ import annotations

from dashboard.app import main

main()
