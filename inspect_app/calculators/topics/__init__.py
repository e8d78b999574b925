"""The calculators, by the topics of trade/."""
