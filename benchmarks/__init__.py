"""Ratios and figures against named baselines, measured in one run."""
