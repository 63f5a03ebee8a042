"""What would tell apart the things one animal may be: gene tests and test matings."""
