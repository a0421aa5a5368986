"""The trade's sums: oil through gaps, how thick it is, how sealant spreads and cures."""
