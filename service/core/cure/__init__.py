"""Cure: the clock, milestones, the recoat rule, and the signs of a layup."""
